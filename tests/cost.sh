#!/usr/bin/env bash
# What a running countdown costs, measured beside `watch -n1 date` on the same machine in the same seconds.
# Usage: tests/cost.sh [SECONDS] [PROGRAM]     (60 and target/release/sottile; build it first)
# Linux only: it reads /proc. It judges nothing and fails only where it cannot measure.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

seconds=${1:-60}
program=$(realpath "${2:-target/release/sottile}")
[ -x "$program" ] || { echo "$program is not there: cargo build --release" >&2; exit 1; }
for tool in script watch date; do
    command -v "$tool" >/dev/null || { echo "$tool is not here, so nothing can be measured" >&2; exit 1; }
done

place=$(mktemp -d)
started=()
tidy() {
    for pid in "${started[@]}"; do kill "$pid" 2>/dev/null || true; done
    wait 2>/dev/null || true
    rm -rf "$place"
}
trap tidy EXIT
export SOTTILE_DATA="$place/data" SOTTILE_CONFIG="$place/set.toml" TERM=xterm-256color
: >"$SOTTILE_CONFIG"
# Keys come from here, and none do.
mkfifo "$place/keys"
exec 9<>"$place/keys"

# In a terminal of 120 x 40: NAME, then a command. Its process number is written to a file before it takes over.
in_terminal() {
    local name=$1
    shift
    script -qfc "stty cols 120 rows 40; echo \$\$ > '$place/$name.pid'; exec $*" /dev/null <&9 >"$place/$name.out" 2>&1 &
    started+=($!)
    while [ ! -s "$place/$name.pid" ]; do sleep 0.05; done
    started+=("$(cat "$place/$name.pid")")
}

# Processor time so far, microseconds: the process's own by the scheduler's clock, and that of children waited for.
cpu_us() {
    local own=0 ns rest stat ticks
    for file in /proc/"$1"/task/*/schedstat; do
        read -r ns rest <"$file" || continue
        own=$((own + ns))
    done
    stat=$(cat /proc/"$1"/stat)
    stat=${stat##*) }
    read -ra stat <<<"$stat"
    ticks=$((stat[13] + stat[14]))
    echo $((own / 1000 + ticks * 1000000 / $(getconf CLK_TCK)))
}

# Times a thread went to sleep by itself and was woken again, over all threads.
wake_ups() {
    cat /proc/"$1"/task/*/status | awk '/^voluntary_ctxt_switches/ { n += $2 } END { print n }'
}

# A coat's wait, long enough to run through the whole measurement.
"$program" new Wren --size 300x400x12mm --recipe gypsum-titanium --at -5h >/dev/null
for act in "done --at -5h" "done --at -5h" "done --at -5h" "done --at -4h" "done --at -4h" "skip --why measured" "done" "done"; do
    # shellcheck disable=SC2086 # the words of an act
    "$program" mark wren $act >/dev/null
done

in_terminal bench "'$program'"
in_terminal watch "watch -n1 date"
bench=$(cat "$place/bench.pid") watch=$(cat "$place/watch.pid")
sleep 3 # so that opening is not counted
wakes_before=$(wake_ups "$bench") bench_before=$(cpu_us "$bench") watch_before=$(cpu_us "$watch")
sleep "$seconds"
wakes=$(($(wake_ups "$bench") - wakes_before))
bench_us=$(($(cpu_us "$bench") - bench_before)) watch_us=$(($(cpu_us "$watch") - watch_before))
peak=$(awk '/^VmHWM/ { print $2 }' /proc/"$bench"/status)
threads=$(find /proc/"$bench"/task -mindepth 1 -maxdepth 1 | wc -l)

echo "a coat's wait counting down for $seconds s at 120 x 40, $threads threads:"
echo "wake-ups:        $wakes (at most $((seconds + 2)) are wanted)"
awk -v b="$bench_us" -v w="$watch_us" 'BEGIN {
    printf "processor time:  %.1f ms; watch -n1 date took %.1f ms beside it: %.3f of it (at most 0.15 is wanted)\n", b / 1000, w / 1000, b / w
}'
awk -v p="$peak" 'BEGIN { printf "peak memory:     %.1f MB (below 8 is wanted)\n", p / 1024 }'
