# SPDX-License-Identifier: BSL-1.0
# need PACKAGE...: installs with apt-get what is missing, says so, and does nothing when nothing is.
# shellcheck shell=bash

# Steps may run side by side, apt-get may not.
need() {
  mkdir -p build
  (flock 9 && install_missing "$@" 9>&-) 9>build/.install.lock
}

install_missing() {
  local package missing=()
  for package in "$@"; do
    dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'ok installed' || missing+=("$package")
  done
  [ ${#missing[@]} -eq 0 ] && return 0
  local root=()
  [ "$(id -u)" -eq 0 ] || root=(sudo)
  echo "installing: ${missing[*]}"
  # one update for all steps of a run: tests/run sets the name of the mark
  if [ -z "${TAPEWRIGHT_APT_MARK:-}" ] || [ ! -e "$TAPEWRIGHT_APT_MARK" ]; then
    "${root[@]}" apt-get update -qq </dev/null || return 1
    [ -z "${TAPEWRIGHT_APT_MARK:-}" ] || : >"$TAPEWRIGHT_APT_MARK"
  fi
  local log
  log=$(mktemp)
  if ! "${root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends \
      "${missing[@]}" </dev/null >"$log" 2>&1; then
    cat "$log" >&2
    rm -f "$log"
    return 1
  fi
  rm -f "$log"
}
