#!/usr/bin/env bash
# How many times as fast as the same shop in SimPy, a general-purpose simulation library in Python: both are run in
# turns on one core, so that the ratio does not depend on what else the machine does. Prints; judges nothing.
set -euo pipefail
root="$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)"
scratch="$(mktemp -d)"
trap 'rm -rf "$scratch"' EXIT
python3 -m venv "$scratch/venv"
"$scratch/venv/bin/pip" install --quiet --disable-pip-version-check simpy==4.1.2
cargo build --quiet --locked --release --manifest-path "$root/Cargo.toml"
"$scratch/venv/bin/python" - "$root" "$scratch" <<'P'
import json, resource, statistics, subprocess, sys
root, scratch = sys.argv[1:]

def cpu_seconds(command):
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    out = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, out

def ours(replications):
    flow = f"{root}/tests/data/bench/flow.yaml"
    command = [f"{root}/target/release/shopstride", "run", flow, "--quiet", "--threads", "1"]
    return cpu_seconds(command + ["--replications", str(replications)])[0]

ratios = []
for turn in range(5):
    _, out = cpu_seconds([sys.executable, f"{root}/tests/peers/flow_shop.py", "--reps", "10"])
    theirs = json.loads(out)["jobs_per_s"]
    # The difference of two lengths leaves out starting the program, reading the file, and what is done of the first 200
    # replications alone: diagnosing them, and a quick look at what would help.
    mine = 2000 * 1000 / (ours(2250) - ours(250))
    ratios.append(mine / theirs)
    print(f"turn {turn + 1}: {mine / 1e6:.2f} million jobs/s against {theirs / 1e3:.1f} thousand: {mine / theirs:.0f} times")
print(f"median: {statistics.median(ratios):.0f} times")
P
