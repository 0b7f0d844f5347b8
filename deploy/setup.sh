# Sourced by what stands beside it: makes a Debian 12 machine ready to build. Says what it does.

top=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)

say() { printf '\n== %s\n' "$*"; }

as_root() {
    if [ "$(id -u)" -eq 0 ]; then "$@"; else sudo "$@"; fi
}

# install_packages [FOR]: those of deploy/packages, or of deploy/packages.FOR.
install_packages() {
    local missing=() package
    while read -r package _; do
        case "$package" in
            '' | '#'*) continue ;;
            npm) command -v npm >/dev/null && continue ;; # Node.js of other makers has it within, and bars Debian's
        esac
        dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed' || missing+=("$package")
    done <"$top/deploy/packages${1:+.$1}"
    [ ${#missing[@]} -eq 0 ] && return
    say "Installing from Debian: ${missing[*]}"
    if ! command -v apt-get >/dev/null; then
        echo "This needs Debian 12 (apt-get is not here). Packages wanted: ${missing[*]}" >&2
        exit 1
    fi
    # A server that a package starts by itself is not wanted: the tests run their own on loopback.
    as_root env DEBIAN_FRONTEND=noninteractive apt-get update -qq
    as_root env DEBIAN_FRONTEND=noninteractive RUNLEVEL=1 apt-get install -y -qq --no-install-recommends "${missing[@]}"
}

# show_help: the comment at the top of the script that asks.
show_help() { sed -n '2,/^[^#]/s/^# \{0,1\}//p' "$0"; }

# build PRESET [OPTION…] [--target NAME]…: configures and builds what the preset names, or those targets alone; what is
# there already is left.
build() {
    local preset=$1 options=() target=()
    shift
    while [ $# -gt 0 ]; do
        case "$1" in
            --target) target+=(--target "$2"); shift 2 ;;
            *) options+=("$1"); shift ;;
        esac
    done
    say "Building ($preset)"
    mkdir -p "$top/build"
    (cd "$top" && cmake --preset "$preset" "${options[@]}" >"$top/build/$preset.configure" 2>&1) ||
        { cat "$top/build/$preset.configure" >&2; return 1; }
    (cd "$top" && cmake --build --preset "$preset" "${target[@]}")
}
