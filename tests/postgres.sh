#!/usr/bin/env bash
# Run a command with DATABASE_URL naming a PostgreSQL server of its own, which is started before and ended after it.
# The server comes from the system's packages, listens on a socket in a scratch folder alone, and never runs as root.
set -euo pipefail

user=${PGTEST_USER:-postgres}
as() { if [ "$(id -u)" = 0 ]; then runuser -u "$user" -- "$@"; else "$@"; fi; }
tool() { ls /usr/lib/postgresql/*/bin/"$1" 2>/dev/null | sort -V | tail -1 | grep . || command -v "$1"; }

if ! tool initdb > /dev/null; then
  echo "PostgreSQL is not installed: apt-get install postgresql" >&2
  exit 1
fi
folder=$(mktemp -d -t hood-ledger-pg-XXXXXX)
if [ "$(id -u)" = 0 ]; then
  id -u "$user" > /dev/null 2>&1 || useradd --system --no-create-home "$user"
  chown "$user" "$folder"
fi
chmod 755 "$folder"
end() {
  as "$(tool pg_ctl)" -D "$folder/data" -m immediate -w stop > /dev/null 2>&1 || true
  rm -rf "$folder"
}
trap end EXIT
trap 'exit 130' INT TERM

cd / # a folder that the server's user may read
as "$(tool initdb)" -D "$folder/data" -U test --auth=trust --encoding=UTF8 --locale=C.UTF-8 --no-sync > /dev/null
as "$(tool pg_ctl)" -D "$folder/data" -w -t 60 -l "$folder/log" start -o "-k $folder -c listen_addresses='' \
-c fsync=off -c synchronous_commit=off -c full_page_writes=off -c max_connections=60" > /dev/null || { cat "$folder/log" >&2; exit 1; }
cd "$OLDPWD"

DATABASE_URL="postgresql://test@/postgres?host=$folder" "$@"
