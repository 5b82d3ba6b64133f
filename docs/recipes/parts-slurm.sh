#!/bin/sh
# Checks a list of logs in parts, as an array of Slurm jobs: sbatch --array=1-64 --requeue parts-slurm.sh logs.txt archive
# Each part can be run again at any time: what the archive has as it is now is not read a second time.
#SBATCH --job-name=pullproof-parts
#SBATCH --ntasks=1
set -eu
exec ${PULLPROOF:-npx --no-install pullproof} check --list "$1" --part "$SLURM_ARRAY_TASK_ID/$SLURM_ARRAY_TASK_COUNT" --parquet "$2" --workers 1
