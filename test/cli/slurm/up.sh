#!/bin/sh
# One controller and one node of two processors on this machine, to try the recipe on: up.sh FOLDER. `scontrol shutdown` ends both.
# Debian: slurm-wlm and munge; as root.
set -eu
d=$1
mkdir -p "$d/state" "$d/spool" /run/munge
host=$(hostname -s)
if [ ! -f /etc/munge/munge.key ]; then
  dd if=/dev/urandom of=/etc/munge/munge.key bs=1024 count=1 2>/dev/null
  chown munge:munge /etc/munge/munge.key
  chmod 400 /etc/munge/munge.key
fi
chown munge:munge /run/munge
pgrep -x munged >/dev/null || su -s /bin/sh munge -c /usr/sbin/munged
cat > "$d/slurm.conf" <<END
ClusterName=trial
SlurmctldHost=$host
SlurmUser=root
SlurmdUser=root
AuthType=auth/munge
SlurmctldPort=16817
SlurmdPort=16818
StateSaveLocation=$d/state
SlurmdSpoolDir=$d/spool
SlurmctldPidFile=$d/slurmctld.pid
SlurmdPidFile=$d/slurmd.pid
SlurmctldLogFile=$d/slurmctld.log
SlurmdLogFile=$d/slurmd.log
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
SelectType=select/cons_tres
SelectTypeParameters=CR_Core
ReturnToService=2
MpiDefault=none
NodeName=$host NodeAddr=127.0.0.1 CPUs=2 State=UNKNOWN
PartitionName=all Nodes=$host Default=YES MaxTime=INFINITE State=UP
END
export SLURM_CONF="$d/slurm.conf"
slurmctld -f "$SLURM_CONF"
slurmd -f "$SLURM_CONF"
for _ in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20; do
  sinfo -h -o %t | grep -q idle && exit 0
  sleep 1
done
tail -20 "$d"/*.log >&2
exit 1
