#!/bin/sh
# Installs what is missing for `make demo`, `make check` or `make check-all`, by Debian package name, and says so.
set -eu

demo="libyaml-dev libjansson-dev"
check="$demo libcmocka-dev libgeos-dev libxml2-dev libxml2-utils mandoc jq"
rest="nodejs npm chromium poppler-utils fontconfig fonts-dejavu-core"
case ${1:-demo} in
demo) packages=$demo ;;
check) packages=$check ;;
check-all) packages="$check $rest" ;;
*) echo "usage: setup.sh demo|check|check-all" >&2; exit 2 ;;
esac

has() {
  case $1 in
  nodejs) command -v node >/dev/null ;;
  npm) command -v npm >/dev/null ;;
  jq) command -v jq >/dev/null ;;
  chromium) command -v chromium >/dev/null ;;
  fontconfig) command -v fc-match >/dev/null ;;
  fonts-dejavu-core) [ -d /usr/share/fonts/truetype/dejavu ] ;;
  poppler-utils) command -v pdftotext >/dev/null ;;
  libxml2-dev) command -v xml2-config >/dev/null ;;
  libxml2-utils) command -v xmllint >/dev/null ;;
  mandoc) command -v mandoc >/dev/null ;;
  libyaml-dev) compiles yaml.h ;;
  libjansson-dev) compiles jansson.h ;;
  libcmocka-dev) compiles stdarg.h stddef.h setjmp.h stdint.h cmocka.h ;;
  libgeos-dev) compiles geos_c.h ;;
  esac
}

compiles() {
  for header; do echo "#include <$header>"; done | ${CC:-cc} -fsyntax-only -x c - 2>/dev/null
}

if ! command -v "${CC:-cc}" >/dev/null; then
  echo "There is no C compiler (${CC:-cc}). On Debian: apt-get install gcc libc6-dev make" >&2
  exit 1
fi

missing=
for package in $packages; do
  has "$package" || missing="$missing $package"
done
[ -z "$missing" ] && exit 0

echo "Missing:$missing"
if ! command -v apt-get >/dev/null; then
  echo "This is not a Debian machine: install what corresponds to these packages, then try again." >&2
  exit 1
fi
if [ "$(id -u)" != 0 ]; then
  echo "Only root can install them. Run this line, then try again:" >&2
  echo "  sudo apt-get install$missing" >&2
  exit 1
fi
echo "Installing them with apt-get."
export DEBIAN_FRONTEND=noninteractive
quietly() { "$@" >/dev/null; }
# shellcheck disable=SC2086  # a list of names
quietly apt-get install -y --no-install-recommends $missing 2>/dev/null || {
  quietly apt-get update
  quietly apt-get install -y --no-install-recommends $missing
}
