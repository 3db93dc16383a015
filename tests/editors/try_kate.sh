#!/usr/bin/env bash
# Tries a real Kate, set up as editors/kate/README.md says, under Xvfb, and makes pictures to look at in the folder that is
# named: other.png with an unrelated YAML file, plan.png with the beginner's plan of the example club. Run by hand; needs
# Debian's kate dbus xvfb imagemagick, and `lampwright` with its server on the PATH.
set -euo pipefail
folder=$(mkdir -p "${1:?the folder for the pictures}" && cd "$1" && pwd)
cd "$(dirname "$0")/../.."
lampwright=$(command -v lampwright)
export HOME=$folder/home XDG_RUNTIME_DIR=$folder/run DISPLAY=:96
unset XDG_CONFIG_HOME XDG_DATA_HOME XDG_CACHE_HOME
rm -rf "$HOME" "$folder/club" "$folder/servers"
mkdir -p "$HOME/.config" "$folder/bin"
cp -r examples "$folder/club"
echo 'vehicle: 1' > "$folder/club/other.yaml"

# A server leaves its number.
printf '#!/bin/sh\necho $$ >> "%s/servers"\nexec "%s" "$@"\n' "$folder" "$lampwright" > "$folder/bin/lampwright"
chmod +x "$folder/bin/lampwright"
export PATH=$folder/bin:$PATH

# What the page tells people to run, and the plugin switched on; the one question that Kate asks is answered beforehand.
bash -euo pipefail -c "$(sed -n '/^```sh$/,/^```$/p' editors/kate/README.md | sed '1d;$d')"
printf '%s\n' '[Kate Plugins]' 'lspclientplugin=true' '[lspclient]' \
  "AllowedServerCommandLines=$folder/bin/lampwright server" > "$HOME/.config/katerc"

look() {
  rm -rf "$XDG_RUNTIME_DIR"
  mkdir -m 700 "$XDG_RUNTIME_DIR"
  Xvfb "$DISPLAY" -screen 0 1000x640x24 >/dev/null 2>&1 &
  local screen=$!
  sleep 1
  timeout 20 dbus-run-session -- kate -n "$folder/club/$1" >"$folder/$2.log" 2>&1 &
  sleep 10
  import -window root "$folder/$2.png"
  kill $! || true
  wait $! || true
  kill $screen
  wait $screen || true
  echo "$1: $(cat "$folder/servers" 2>/dev/null | wc -l) servers were started"
}
look other.yaml other
look mistakes/unprotected-led.lights.yaml plan
