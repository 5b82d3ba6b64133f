"""Checks a list of logs in parts on a Dask cluster: python3 parts_dask.py logs.txt archive 64 [address of a scheduler].

A part that fails or whose worker dies is run again; what the archive has as it is now is not read a second time.
"""
import os
import shlex
import subprocess
import sys

from distributed import Client, LocalCluster


def check_part(part, parts, listed, archive, command):
    done = subprocess.run(
        command + ["check", "--list", listed, "--part", f"{part}/{parts}", "--parquet", archive, "--workers", "1"],
        capture_output=True, text=True)
    if done.returncode > 1 or done.returncode < 0:  # 1: a log could not be read, which is a row of its own
        raise RuntimeError(f"part {part}: exit {done.returncode} {done.stderr[-500:]}")
    return done.returncode


def main():
    listed, archive, parts = sys.argv[1], sys.argv[2], int(sys.argv[3])
    command = shlex.split(os.environ.get("PULLPROOF", "npx --no-install pullproof"))
    if len(sys.argv) > 4:
        client = Client(sys.argv[4])
    else:
        client = Client(LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None))
    futures = [client.submit(check_part, part, parts, listed, archive, command, retries=3, pure=False) for part in range(1, parts + 1)]
    exits = client.gather(futures)
    client.close()
    print(f"{parts} parts, {sum(exits)} with logs that could not be read")


if __name__ == "__main__":
    main()
