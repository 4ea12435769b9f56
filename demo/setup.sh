# What demo/run and tests/run share: Debian packages, builds, and a private PostgreSQL cluster. Sourced by bash.
#
# The caller sets `me` (its name in messages), `root` (top of the working tree) and `logs` (a folder for the output of
# long steps). A function that cannot do its work says so in one sentence and leaves with status 1.

say() { printf '%s\n' "$*"; }
exec 8>&2 # where a failure is told, also from inside a step whose output goes to a log
fail() { printf '%s: %s\n' "$me" "$*" >&8; exit 1; }

# step TEXT COMMAND...: one line while it runs, its time when done; the end of its output only when it fails.
step() {
  local text=$1 log began
  shift
  log=$logs/$(printf '%s' "$text" | tr -c 'A-Za-z0-9\n' - | cut -c 1-40).log
  began=$SECONDS
  printf '  %s ... ' "$text"
  if "$@" >"$log" 2>&1 </dev/null; then
    printf 'done (%s s)\n' $((SECONDS - began))
  else
    printf 'failed\n' >&2
    tail -n 25 "$log" >&2
    fail "$text failed; all of its output is in ${log#"$root"/}"
  fi
}

# wait_for SECONDS COMMAND...: poll a condition until it holds or the time is over.
wait_for() {
  local deadline=$((SECONDS + $1))
  shift
  until "$@"; do
    [ "$SECONDS" -lt "$deadline" ] || return 1
    sleep 0.1
  done
}

# ---- Debian packages ------------------------------------------------------------------------------------------------

# One line: the package, then the command that makes it unnecessary to ask dpkg ("-": none does).
packages_build='
ca-certificates -
gcc gcc
libc6-dev -
cmake cmake
ninja-build ninja
pkg-config pkg-config
libpq-dev -
libmicrohttpd-dev -
libjansson-dev -
libsodium-dev -
libcurl4-openssl-dev -
postgresql -
nodejs node
npm npm
clang-14 clang-14
lld-14 wasm-ld-14
llvm-14 llvm-ar-14
wasi-libc -
libclang-rt-14-dev-wasm32 -
util-linux setpriv
procps ps'

packages_test='
libcriterion-dev -
libclang-rt-14-dev -
llvm-14 llvm-symbolizer-14
clang-format-14 clang-format-14
chromium chromium
binutils objdump
locales -
mandoc mandoc
systemd systemd-analyze'

packages_missing() {
  local package command
  while read -r package command; do
    [ -n "$package" ] || continue
    if [ "$command" != - ] && command -v "$command" >/dev/null; then continue; fi
    dpkg-query -W -f '${db:Status-Abbrev}' "$package" 2>/dev/null | grep -q '^ii' || printf '%s ' "$package"
  done <<<"$1"
}

# Run as root: install, without the server that Debian's PostgreSQL package would start for itself on a bare machine.
packages_script='
set -e
export DEBIAN_FRONTEND=noninteractive
conf=/etc/postgresql-common/createcluster.d/gramwell-no-cluster.conf
if ! [ -e /etc/postgresql-common/createcluster.conf ]; then
  mkdir -p "${conf%/*}"
  echo "create_main_cluster = false" >"$conf"
  trap "rm -f $conf" EXIT
fi
apt-get -o DPkg::Lock::Timeout=300 -q update
apt-get -o DPkg::Lock::Timeout=300 -qy --no-install-recommends install "$@"'

# packages_install LIST: make sure that every package of the list is there.
packages_install() {
  local missing
  command -v dpkg-query >/dev/null && command -v apt-get >/dev/null ||
    fail "this set-up needs Debian's apt-get, which is not here; deploy/README.md lists what a build needs."
  missing=$(packages_missing "$1")
  [ -n "$missing" ] || return 0
  # shellcheck disable=SC2086  # a list of words
  if [ "$(id -u)" = 0 ]; then
    step "installing $(wc -w <<<"$missing") Debian packages" bash -c "$packages_script" packages $missing
  elif command -v sudo >/dev/null; then
    say "  these Debian packages are missing: $missing"
    sudo -v || fail "sudo did not let us install them; as root: apt-get install --no-install-recommends $missing"
    step "installing $(wc -w <<<"$missing") Debian packages" sudo bash -c "$packages_script" packages $missing
  else
    fail "these Debian packages are missing, and without root or sudo they cannot be installed here: $missing"
  fi
}

# ---- builds ---------------------------------------------------------------------------------------------------------

# build_native FOLDER [CMAKE OPTION...]: configure once, then whatever changed.
build_native() {
  local folder=$1
  shift
  if ! [ -e "$folder/build.ninja" ]; then
    cmake -S "$root" -B "$folder" -G Ninja "$@" || return
  fi
  ninja -C "$folder"
}

# checksum of all that the web client is built from: files, their contents and the engine's WebAssembly
web_sources() {
  (cd "$root/clients/web" && find . \( -name node_modules -o -name dist -o -name build \) -prune -o -type f -print0 | sort -z |
    xargs -0 sha256sum; sha256sum <"$1") | sha256sum
}

# build_web WASM: the packages of the lock file and the client, each only when what it is made of has changed.
build_web() {
  local web=$root/clients/web want
  node_new_enough || { echo "Node.js 18 or later is needed, this is $(node --version)" >&2; return 1; }
  want=$(sha256sum <"$web/package-lock.json")
  if [ "$(cat "$web/node_modules/.installed" 2>/dev/null)" != "$want" ]; then
    (cd "$web" && npm ci --no-audit --no-fund) || return
    printf '%s\n' "$want" >"$web/node_modules/.installed"
  fi
  want=$(web_sources "$1")
  if [ "$(cat "$web/dist/.built" 2>/dev/null)" != "$want" ]; then
    (cd "$web" && TREND_WASM=$1 npm run build) || return
    printf '%s\n' "$want" >"$web/dist/.built"
  fi
}

node_new_enough() { node -e 'process.exit(Number(process.versions.node.split(".")[0]) < 18 ? 1 : 0)'; }

# ---- a private PostgreSQL cluster -----------------------------------------------------------------------------------

# The newest PostgreSQL of this machine; sets pg_bin and pg_major.
postgres_find() {
  local bin
  pg_bin=
  for bin in /usr/lib/postgresql/*/bin; do
    [ -x "$bin/initdb" ] && pg_bin=$(printf '%s\n' "$pg_bin" "$bin" | sort -V | tail -n 1)
  done
  if [ -z "$pg_bin" ] && command -v initdb >/dev/null; then pg_bin=$(dirname "$(command -v initdb)"); fi
  [ -n "$pg_bin" ] || fail "PostgreSQL's server programs (initdb, postgres) were not found on this machine."
  pg_major=$("$pg_bin/postgres" --version | sed 's/[^0-9]*\([0-9]*\).*/\1/')
  [ "$pg_major" -ge 15 ] || fail "PostgreSQL 15 or later is needed, and this machine has $pg_major."
}

# as_database COMMAND...: as the user that owns the cluster. PostgreSQL refuses to run as root; then it is `postgres`.
as_database() {
  if [ "$(id -u)" = 0 ]; then
    setpriv --reuid=postgres --regid=postgres --init-groups env -u PGHOST HOME=/ LC_ALL=C.UTF-8 "$@"
  else
    env LC_ALL=C.UTF-8 "$@"
  fi
}

# cluster_home FOLDER: where the cluster lives; sets cluster and sockets.
# A folder below root's closed home cannot be reached by the unprivileged user: the cluster then lives in /var/lib and
# FOLDER/cluster leads there. A socket's path has at most 107 bytes; a deeper folder gets its sockets below /tmp.
cluster_home() {
  local home=$1
  mkdir -p "$home"
  cluster=$home/cluster
  if [ "$(id -u)" = 0 ]; then
    id postgres >/dev/null 2>&1 || fail "the user postgres, which Debian's PostgreSQL package makes, does not exist."
    if ! as_database test -x "$home"; then
      home=/var/lib/gramwell-demo/$(printf '%s' "$home" | sha256sum | cut -c 1-12)
      mkdir -p "$home"
      ln -sfn "$home/cluster" "$cluster"
      cluster=$home/cluster
    fi
  fi
  sockets=$home/sockets
  if [ ${#sockets} -gt 85 ]; then sockets=/tmp/gramwell-$(printf '%s' "$home" | sha256sum | cut -c 1-12); fi
  mkdir -p "$cluster" "$sockets"
  chmod 700 "$cluster" "$sockets"
  if [ "$(id -u)" = 0 ]; then chown postgres: "$cluster" "$sockets"; fi
}

# cluster_make [LINE OF postgresql.conf...]: initialise unless it is there; an older version's is refused.
cluster_make() {
  local made
  if [ -s "$cluster/PG_VERSION" ]; then
    made=$(cat "$cluster/PG_VERSION")
    [ "$made" = "$pg_major" ] ||
      fail "the database in ${cluster#"$root"/} was made by PostgreSQL $made and this machine has $pg_major; start over with --fresh."
    return 0
  fi
  as_database "$pg_bin/initdb" --pgdata="$cluster" --username=gramwell_admin --encoding=UTF8 --locale=C.UTF-8 \
    --auth=trust --no-instructions >"$logs/initdb.log" 2>&1 ||
    { tail -n 5 "$logs/initdb.log" >&2; fail "PostgreSQL's initdb failed."; }
  # The socket's folder is closed to everybody else: whoever reaches it may be any role (trust).
  {
    printf "listen_addresses = ''\nunix_socket_directories = '%s'\nunix_socket_permissions = 0700\n" "$sockets"
    printf "shared_buffers = 64MB\nmax_connections = 120\nlog_parameter_max_length_on_error = 0\n"
    printf '%s\n' "$@"
  } | as_database tee -a "$cluster/postgresql.conf" >/dev/null
}

cluster_start() {
  as_database "$pg_bin/pg_ctl" -D "$cluster" status >/dev/null 2>&1 && cluster_stop # left behind by a killed run
  as_database "$pg_bin/pg_ctl" -D "$cluster" -w -t 60 -o "-k '$sockets'" -l "$cluster/log" start \
    >"$logs/pg_ctl.log" 2>&1 8>&- 9>&- ||
    { as_database tail -n 5 "$cluster/log" >&2; fail "PostgreSQL did not start."; }
}

cluster_stop() { as_database "$pg_bin/pg_ctl" -D "$cluster" -m fast -w -t 60 stop >/dev/null 2>&1 || true; }

# admin DATABASE [psql option...]: as the cluster's superuser
admin() {
  local database=$1
  shift
  PGOPTIONS=--client-min-messages=warning "$pg_bin/psql" --no-psqlrc --quiet --set ON_ERROR_STOP=1 --host "$sockets" --username gramwell_admin --dbname "$database" "$@"
}

# ---- the server -----------------------------------------------------------------------------------------------------

# server_start LOG COMMAND...: in the background; sets server_pid and server_url once it says that it is ready.
server_start() {
  local log=$1
  shift
  : >"$log"
  "$@" 2>"$log" </dev/null 8>&- 9>&- &
  server_pid=$!
  if ! wait_for 30 server_spoke "$log" || ! kill -0 "$server_pid" 2>/dev/null; then
    tail -n 5 "$log" >&2
    server_stop
    fail "the server did not become ready."
  fi
  server_url=http://$(sed -n '/ready/s/.*address="\{0,1\}\([0-9.:]*\).*/\1/p' "$log" | tail -n 1)
}

server_spoke() { grep -q 'ready.*address=' "$1" || ! kill -0 "$server_pid" 2>/dev/null; }

# Ends the server by SIGTERM, if there is one; its exit status is the function's.
server_stop() {
  local status=0
  [ -n "${server_pid:-}" ] || return 0
  kill -TERM "$server_pid" 2>/dev/null || true
  wait "$server_pid" 2>/dev/null || status=$?
  server_pid=
  return $status
}
