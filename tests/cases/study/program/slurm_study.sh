#!/bin/sh
# A study of 24 runs through a real Slurm: one part is killed in the middle, one is requeued, the study is handed in
# again for what is left, and the table is the one of an undisturbed study. $1 is the program.
set -eu
program=$1
here=$(cd "$(dirname "$0")" && pwd)
scratch=$(mktemp -d)
. "$here/slurm_cluster.sh"
trap 'stop_cluster; rm -rf "$scratch"' EXIT INT TERM
export OMP_WAIT_POLICY=passive

fail() {
  echo "FAILED: $*" >&2
  cat "$scratch"/cluster/small-joints-work/jobs/*.log >&2 || true
  exit 1
}

# Everything but the seconds, the last column.
table_of() {
  "$program" study csv "$study" --out "$1" | sed 's/,[^,]*$//'
}

# Finer than the tests beside this one need it, so that a part takes long enough to be killed in the middle.
study="$scratch/small-joints.toml"
sed 's/fineness = 1.0/fineness = 0.4/; s/largest_conversion_step = 0.2/largest_conversion_step = 0.1/' \
  "$here/small-joints.toml" >"$study"

"$program" study "$study" --out "$scratch/undisturbed" --quiet
[ "$(table_of "$scratch/undisturbed" | grep -c ',done,')" = 24 ] || fail "the undisturbed study has no 24 runs"

start_cluster
"$program" study "$study" --out "$scratch/cluster" --on slurm --shards 3 --partition test \
  --sbatch=--comment=disturbed

parts="$scratch/cluster/small-joints-work/shards"

# How many runs part $1 has published.
published() {
  mkdir -p "$scratch/look"
  cp "$parts/small-joints-$1-of-3.sqlite" "$scratch/look/small-joints.sqlite" \
    2>/dev/null || return 0
  table_of "$scratch/look" | grep -c ',done,' || true
}

# One worker is frozen as soon as it has a result, and killed, as when its node is lost.
for _ in $(seq 1 2000); do
  [ ! -e "$parts/small-joints-1-of-3.sqlite" ] || break
  sleep 0.03
done
victim=$(pgrep -f "study work .*--out $scratch/cluster --shard 1/3" | head -n 1)
[ -n "$victim" ] || fail "the first part was over before it could be killed"
kill -STOP "$victim"
kept=$(published 1)
kill -9 "$victim"
[ "$kept" -ge 1 ] || fail "the first part had published nothing"
[ "$kept" -lt 8 ] || fail "the first part was over before it could be killed"

# Another is sent back to the queue.
for _ in $(seq 1 2000); do
  [ ! -e "$parts/small-joints-2-of-3.sqlite" ] || break
  sleep 0.03
done
job=$(squeue -h -r -o '%A %K' | awk '$2 == 2 { print $1 }')
[ -n "$job" ] || fail "the second part was over before it could be requeued"
scontrol requeue "$job"
wait_for_jobs 120

"$program" study collect "$study" --out "$scratch/cluster"
left=$(table_of "$scratch/cluster" | grep -c ',planned,' || true)
[ "$left" = $((8 - kept)) ] || fail "the killed part had published $kept of 8 runs, but $left are left"
table_of "$scratch/cluster" | awk -F, '/,planned,/ && ($1 - 1) % 3 != 0 { exit 1 }' ||
  fail "a part that was only requeued has runs left"

"$program" study "$study" --out "$scratch/cluster" --on slurm --shards 3 | tee "$scratch/again"
grep -q ' 1 parts' "$scratch/again" || fail "parts were handed in again that had nothing left"
wait_for_jobs 60
"$program" study collect "$study" --out "$scratch/cluster"
table_of "$scratch/undisturbed" >"$scratch/a"
table_of "$scratch/cluster" >"$scratch/b"
diff "$scratch/a" "$scratch/b" || fail "the table differs from that of an undisturbed study"
echo "24 runs, $left lost with the killed part and made again: the same table"
