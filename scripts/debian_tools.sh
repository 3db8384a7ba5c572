#!/usr/bin/env bash
# Brings Chromium and poppler-utils, with which the tests look at drawings and pages as pictures.
set -u
missing=()
command -v chromium >/dev/null 2>&1 || missing+=(chromium)
command -v pdftoppm >/dev/null 2>&1 || missing+=(poppler-utils)
[ ${#missing[@]} -eq 0 ] && exit 0
if [ "$(id -u)" -ne 0 ] || ! command -v apt-get >/dev/null 2>&1; then
  echo "note: no ${missing[*]}, and installing Debian packages needs root: tests that look at pictures will be skipped"
  exit 0
fi
echo "== bringing ${missing[*]} from Debian's packages"
log=$(mktemp)
if ! { apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}"; } >"$log" 2>&1; then
  tail -3 "$log"
  echo "note: could not get ${missing[*]} from Debian's packages: tests that look at pictures cannot run"
fi
rm -f "$log"
exit 0
