# Shared by demo.sh and tests/run.sh: installs what is missing and builds. To be sourced, with `root` set to the source
# tree. POSIX sh.

build_packages="g++ cmake ninja-build libeigen3-dev libfmt-dev nlohmann-json3-dev libtomlplusplus-dev libcli11-dev \
libboost-dev libsqlite3-dev libceres-dev libcpp-httplib-dev \
libgmsh-dev libsuitesparse-dev libmetis-dev libopenblas0-pthread libvtk9-dev libx11-dev xvfb libgl1-mesa-dri catch2"

# Bundle the page of results (see viz/page/README.md); any Node.js that is here already will do.
page_packages=
command -v node >/dev/null && command -v npm >/dev/null || page_packages="nodejs npm"

fail() {
  echo "setstress: $*" >&2
  exit 1
}

# The names among $* that are not installed.
missing_packages() {
  for package in "$@"; do
    dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'ok installed' || printf '%s ' "$package"
  done
}

# Runs apt-get as root, quietly; its own words only when it fails.
apt_get() {
  log=$(mktemp)
  if [ "$(id -u)" = 0 ]; then sudo=; else sudo=sudo; fi
  if $sudo env DEBIAN_FRONTEND=noninteractive apt-get -q -y "$@" >"$log" 2>&1; then
    rm -f "$log"
    return 0
  fi
  tail -n 15 "$log" >&2
  rm -f "$log"
  return 1
}

# Installs the packages $* that are missing; asks the network for package lists only when the ones at hand do not do.
install_packages() {
  missing=$(missing_packages "$@")
  [ -n "$missing" ] || return 0
  command -v dpkg-query >/dev/null && command -v apt-get >/dev/null ||
    fail "apt-get is not here. This script is made for Debian 12; elsewhere install these by hand: $missing"
  [ "$(id -u)" = 0 ] || command -v sudo >/dev/null ||
    fail "sudo is not here. As root, run: apt-get install $missing"
  echo "Installing (once): $missing"
  # shellcheck disable=SC2086  # a list of words
  if apt-get -s install --no-install-recommends $missing >/dev/null 2>&1 &&
     apt_get install --no-install-recommends $missing 2>/dev/null; then
    return 0
  fi
  apt_get update || fail "apt-get update failed: is there a network connection? Needed: $missing"
  # shellcheck disable=SC2086
  apt_get install --no-install-recommends $missing ||
    fail "apt-get could not install (is there a network connection?): $missing"
}

# Passes on the lines of a build and shows, of "[12/200] ...", how far it is: in place on a terminal, else every tenth.
show_build_progress() {
  shown=-1
  while IFS= read -r line; do
    printf '%s\n' "$line" >&3
    case $line in
      *"] Re-"*) continue ;;  # looks at its own files first
      "["[0-9]*/[0-9]*"] "*) ;;
      *) continue ;;
    esac
    counts=${line%%]*}
    counts=${counts#[}
    step=${counts%/*} steps=${counts#*/}
    if [ -t 1 ]; then
      printf '\r  %s of %s files ' "$step" "$steps"
    elif [ $((10 * step / steps)) -gt "$shown" ]; then
      shown=$((10 * step / steps))
      echo "  $step of $steps files"
    fi
  done
  if [ -t 1 ]; then printf '\r                          \r'; fi
}

# Configures and builds into folder $1; the rest are options and, after --, targets. The log is shown when it fails.
# One set of options for all scripts, so that none compiles again what another has compiled.
build_into() {
  folder=$1
  shift
  options="-DSETSTRESS_WERROR=ON -DSETSTRESS_UNITY=ON"
  while [ $# -gt 0 ] && [ "$1" != -- ]; do
    options="$options $1"
    shift
  done
  [ $# -eq 0 ] || shift
  mkdir -p "$folder"
  generator=
  [ -f "$folder/CMakeCache.txt" ] || generator="-G Ninja"
  # shellcheck disable=SC2086
  cmake -S "$root" -B "$folder" $generator $options >"$folder/configure.log" 2>&1 || {
    tail -n 30 "$folder/configure.log" >&2
    fail "CMake could not set up the build; the whole log is $folder/configure.log"
  }
  if [ $# -gt 0 ]; then targets="--target $*"; else targets=; fi
  rm -f "$folder/build.failed"
  # shellcheck disable=SC2086
  { cmake --build "$folder" $targets 2>&1 || touch "$folder/build.failed"; } | show_build_progress 3>"$folder/build.log"
  [ ! -e "$folder/build.failed" ] || {
    grep -A 12 -E 'error|FAILED' "$folder/build.log" | head -n 60 >&2
    fail "the build failed; the whole log is $folder/build.log"
  }
}
