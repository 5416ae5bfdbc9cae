#!/bin/sh
# Runs every fuzz target, one after the other, for SECONDS_EACH; ends with a status other than 0 at the first finding.
#
# usage: fuzz/run.sh SECONDS_EACH
# Needs a C++ compiler. The toolchain of the project serves: RUSTC_BOOTSTRAP lets it build with the sanitizer that
# libFuzzer needs to see each allocation, and with the coverage that leads it.
set -eu
cd "$(dirname "$0")/.."
seconds="${1:?say for how many seconds each target should run}"
export RUSTC_BOOTSTRAP=1
# Looking for leaks at the end needs ptrace, and hangs where that is not permitted; nothing here leaks by being unsafe.
export ASAN_OPTIONS=detect_leaks=0
fuzz/seeds.sh
host=$(rustc -vV | sed -n 's/^host: //p')
# What libFuzzer asks of a build (LLVM, SanitizerCoverage), with checks of arithmetic left in.
coverage="-Cllvm-args=-sanitizer-coverage-level=4 -Cllvm-args=-sanitizer-coverage-inline-8bit-counters"
coverage="$coverage -Cllvm-args=-sanitizer-coverage-pc-table -Cllvm-args=-sanitizer-coverage-trace-compares"
RUSTFLAGS="-Zsanitizer=address -Cpasses=sancov-module $coverage --cfg fuzzing -Cdebug-assertions" \
    cargo build --quiet --release --manifest-path fuzz/Cargo.toml --target-dir fuzz/target --target "$host"
for target in sniff metadata preview gpx notebook; do
    # Structures may take 64 MB, whatever a header declares. A decoded picture may take more: up to 1024 pixels a byte.
    case $target in
        preview) malloc_limit_mb=1024 ;;
        *) malloc_limit_mb=64 ;;
    esac
    mkdir -p "fuzz/artifacts/$target"
    "fuzz/target/$host/release/$target" "fuzz/corpus/$target" "-artifact_prefix=fuzz/artifacts/$target/" \
        "-max_total_time=$seconds" -max_len=131072 -timeout=20 "-malloc_limit_mb=$malloc_limit_mb" -rss_limit_mb=2560 \
        -print_final_stats=1 -detect_leaks=0 -verbosity=0
done
