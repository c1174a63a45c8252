#!/bin/sh
# Every command that writes, killed (KILL), interrupted (INT) and with a disk that is full, at MOMENTS moments of its life
# each; then the same command again, undisturbed:
#   sh tests/kills.sh PROGRAM [MOMENTS]
# Expected: no half file under a final name; a sentence where the program could still speak; the second go ends well and
# leaves the same files as an undisturbed one, and nothing beside them. Full disks are file systems in memory, left out
# where none can be mounted. Ends with 1 at the first that does not.
set -u
program=$1
moments=${2:-3}
place=$(mktemp -d)
trap 'umount "$place/disk" 2>/dev/null; rm -rf "$place"' EXIT
export OMP_NUM_THREADS=1
mkdir "$place/disk"
mount -t tmpfs -o size=64k none "$place/disk" 2>/dev/null && umount "$place/disk" && can_mount=1 || can_mount=
failures=0

fail() {
  echo "FAILED: $1: $2"
  [ ! -f "$place/said" ] || tail -n 3 "$place/said"
  failures=$((failures + 1))
}

# What a folder holds, without what differs from run to run.
listing() { (cd "$1" && find . -not -name lock | sort); }

# All JSON and pages under final names are whole.
check_whole() {  # folder, what
  for file in $(find "$1" -name '*.part' -prune -o \( -name '*.json' -o -name '*.html' -o -name '*.vt[up]' \) -print); do
    case $file in
      *.json) python3 -c 'import json,sys; json.load(open(sys.argv[1]))' "$file" 2>/dev/null || fail "$2" "$file is half written" ;;
      *) tail -c 20 "$file" | grep -q '</html>\|</VTKFile>' || fail "$2" "$file is half written" ;;
    esac
  done
}

check_said() {  # what
  grep -q 'filesystem error\|terminate called\|json.exception\|basic_string' "$place/said" && fail "$1" "raw text"
  return 0
}

milliseconds() { echo $(($(date +%s%N) / 1000000)); }

# One command in a folder of its own: undisturbed first, which says what is to be expected and how long it takes.
try() {  # name, words of the command
  name=$1
  shift
  rm -rf "$place/sound" && mkdir "$place/sound"
  begun=$(milliseconds)
  (cd "$place/sound" && "$program" "$@" >"$place/said" 2>&1) || { fail "$name" "does not run"; return; }
  lasted=$(($(milliseconds) - begun))
  listing "$place/sound" >"$place/expected"
  size=$(du -sk --apparent-size "$place/sound" | cut -f 1)
  for moment in $(seq 1 "$moments"); do
    after=$(awk "BEGIN { print $lasted / 1000 * ($moment - 0.5) / $moments }")
    for signal in KILL INT; do
      rm -rf "$place/here" && mkdir "$place/here"
      (cd "$place/here" && timeout -s $signal "$after" "$program" "$@" >"$place/said" 2>&1) 2>/dev/null
      code=$?
      check_said "$name, SIG$signal after $after s"
      check_whole "$place/here" "$name, SIG$signal after $after s"
      [ $code -eq 0 ] || again "$place/here" "$name, SIG$signal after $after s" "$@"
    done
    [ -n "$can_mount" ] || continue
    room=$((size * (2 * moment - 1) / (2 * moments)))
    mount -t tmpfs -o size=$((room > 4 ? room : 4))k none "$place/disk"
    (cd "$place/disk" && "$program" "$@" >"$place/said" 2>&1)
    code=$?
    what="$name, a disk of $room kB"
    [ $code -eq 0 ] || grep -qi 'no space left\|disk is full' "$place/said" || fail "$what" "no word of the full disk"
    check_said "$what"
    check_whole "$place/disk" "$what"
    mount -o remount,size=1g "$place/disk"
    [ $code -eq 0 ] || again "$place/disk" "$what" "$@"
    umount "$place/disk"
  done
  echo "$name: $lasted ms, $size kB"
}

again() {  # folder, what, words
  there=$1 what=$2
  shift 2
  (cd "$there" && "$program" "$@" >"$place/said" 2>&1) || { fail "$what" "does not run again"; return; }
  listing "$there" >"$place/found"
  cmp -s "$place/expected" "$place/found" || fail "$what" "other files: $(diff "$place/expected" "$place/found" | tr '\n' ' ')"
}

cat >"$place/joint.toml" <<'END'
base = "butt-joint"
[mesh]
fineness = 1.5
[plan]
end = "20 s"
END
cat >"$place/study.toml" <<'END'
[study]
base = "joint.toml"
design = "grid"
[[factor]]
name = "height"
key = "specimen.height"
values = [1.0, 2.0, 3.0]
[outputs]
ratio = "bond[wall=all].end.stress_to_strength_mean"
END
(cd "$place" && "$program" run joint.toml --quiet --out result && "$program" run joint.toml --mode debonding --quiet --out other) || exit 1
joint=$place/joint.toml result=$place/result
try run run "$joint" --quiet --out out
try debonding run "$joint" --mode debonding --quiet --out out
try compare compare "$joint" "$result" --quiet --out out
try odds compare "$joint" butt-joint --fineness 1.5 --odds 3 --odds-fineness 1.5 --quiet --out out
try wait wait "$joint" --wall all --points 3 --longest "2 min" --within "2 min" --law mature-at-once --quiet --out out
try study study "$place/study.toml" --out . --quiet
try fit fit invented-paste --quiet --out out
try picture picture "$result" --out out.png --quiet
try walls picture "$result" --show walls --out out.svg --quiet
try page page "$result" "$result" --out out.html --quiet
try mesh mesh "$joint" --out out.vtu --quiet
try check check "$joint" --out out.json --quiet
try copy list --copy butt-joint out.toml
[ "$moments" -lt 3 ] || try film film "$result" --out out.gif --size 400 --fps 4 --quiet
[ "$moments" -lt 3 ] || try lesson lesson --fineness coarse --draws 2 --quiet --out out
echo "$failures failures"
[ $failures -eq 0 ]
