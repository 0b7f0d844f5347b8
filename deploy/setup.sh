# Sourced by deploy/run and deploy/test: makes a Debian 12 machine ready to build. Says what it does.

top=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)

say() { printf '\n== %s\n' "$*"; }

as_root() {
    if [ "$(id -u)" -eq 0 ]; then "$@"; else sudo "$@"; fi
}

# install_packages [LIST…]: what is missing of the lists in this folder, `packages` if none is named.
install_packages() {
    local missing=() package lists=("${@:-packages}")
    while read -r package _; do
        case "$package" in '' | '#'*) continue ;; esac
        dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed' || missing+=("$package")
    done < <(cd "$top/deploy" && cat "${lists[@]}")
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

# build PRESET [OPTION…]: configures and builds what the preset names; what is there already is left.
build() {
    say "Building ($1)"
    mkdir -p "$top/build"
    (cd "$top" && cmake --preset "$@" >"$top/build/$1.configure" 2>&1) || { cat "$top/build/$1.configure" >&2; return 1; }
    (cd "$top" && cmake --build --preset "$1")
}
