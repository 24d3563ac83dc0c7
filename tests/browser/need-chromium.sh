#!/usr/bin/env bash
# Makes sure that Chromium and its driver are there: installs Debian's packages where that is possible.
set -u
have() { command -v chromedriver >/dev/null 2>&1 && { command -v chromium || command -v chromium-browser || command -v google-chrome; } >/dev/null 2>&1; }
have && exit 0
if command -v apt-get >/dev/null 2>&1; then
  echo "Installing Chromium for the browser tests ..."
  root=""
  [ "$(id -u)" -eq 0 ] || root="sudo -n"
  $root apt-get update -qq && DEBIAN_FRONTEND=noninteractive $root apt-get install -y -qq --no-install-recommends chromium chromium-driver >/dev/null
  have && exit 0
fi
echo "The browser tests need Chromium and its driver, and they could not be installed from here." >&2
echo "On Debian, as root: apt-get install chromium chromium-driver. Elsewhere: put 'chromium' and 'chromedriver' on the PATH." >&2
exit 1
