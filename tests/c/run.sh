#!/usr/bin/env bash
# Builds and runs the C and C++ tests: tests/c/run.sh BUILD_DIR
#
# BUILD_DIR holds libcalcore_ffi.so and libcalcore_ffi.a (target/debug or target/release, after
# `cargo build -p calcore-ffi`); the programs are built in BUILD_DIR/c-tests. What the core computed, for the comparison
# bit for bit, is in target/parity:
#   cargo run --release -p calcore --example parity_vectors -- target/parity
#   cargo run --release -p calcore --example loop_calibration -- --json > target/parity/run_result.json
set -euo pipefail

if [ $# -ne 1 ]; then
    echo "usage: $0 BUILD_DIR" >&2
    exit 2
fi
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
top=$(cd "$here/../.." && pwd)
library=$(cd "$1" && pwd)
build=$library/c-tests
mkdir -p "$build"
for file in libcalcore_ffi.so libcalcore_ffi.a; do
    if [ ! -f "$library/$file" ]; then
        echo "$library/$file is missing: cargo build -p calcore-ffi" >&2
        exit 2
    fi
done

parity=$top/target/parity
arguments=("$top/tests/reference" "$top/tests/data/jacket_loop_as_found.json" "$parity/run_result.json" "$parity"/*.txt)
for file in "${arguments[@]:2}"; do
    if [ ! -f "$file" ]; then
        echo "$file is missing; see the head of this script" >&2
        exit 2
    fi
done

# The loader looks for the SONAME.
soname=$(objdump -p "$library/libcalcore_ffi.so" | awk '$1 == "SONAME" { print $2 }')
abi=$(awk '$1 == "#define" && $2 == "CALCORE_ABI_VERSION" { print $3 }' "$top/include/calcore.h")
if [ "$soname" != "libcalcore_ffi.so.$abi" ]; then
    echo "SONAME is '$soname', the header says libcalcore_ffi.so.$abi" >&2
    exit 1
fi
ln -sf "$library/libcalcore_ffi.so" "$build/$soname"

warnings=(-Wall -Wextra -Wpedantic -Wconversion -Werror)
system_libraries=(-lpthread -ldl -lm)
sources=()
for file in check table main; do sources+=("$here/$file.c"); done
for file in "$here"/test_*.c; do sources+=("$file"); done

passed=0
failed=0
# Runs one program; adds the counts of its last line; a program that ends badly counts as one more failure.
run() {
    local title=$1 output status=0 counts
    shift
    output=$("$@" 2>&1) || status=$?
    counts=$(printf '%s\n' "$output" | sed -n 's/^\([0-9]*\) passed, \([0-9]*\) failed$/\1 \2/p' | tail -n 1)
    if [ -n "$counts" ]; then
        passed=$((passed + ${counts% *}))
        failed=$((failed + ${counts#* }))
    fi
    if [ "$status" -ne 0 ] || [ -z "$counts" ]; then
        failed=$((failed + 1))
        echo "FAILED: $title (status $status)"
        printf '%s\n' "$output" | tail -n 40
    else
        echo "ok: $title: ${counts% *}"
    fi
}

# A program without counts: its success is one check.
run_plain() {
    local title=$1 output
    shift
    if output=$("$@" 2>&1); then
        passed=$((passed + 1))
        echo "ok: $title"
    else
        failed=$((failed + 1))
        echo "FAILED: $title"
        printf '%s\n' "$output" | tail -n 40
    fi
}

# What the shared library exports is what the header declares, no more and no less.
exported=$(nm -D --defined-only "$library/libcalcore_ffi.so" | awk '$2 == "T" { print $3 }' | sort)
declared=$(grep -o '\bcalcore_[a-z0-9_]*(' "$top/include/calcore.h" | tr -d '(' | sort -u)
run_plain "exported symbols" diff <(printf '%s\n' "$exported") <(printf '%s\n' "$declared")

static=("$library/libcalcore_ffi.a" "${system_libraries[@]}")
dynamic=("$library/libcalcore_ffi.so" "-Wl,-rpath,$build" -lm)
include=(-I "$top/include" -I "$here")

for cc in gcc clang; do
    command -v "$cc" >/dev/null 2>&1 || continue
    for standard in c99 c11; do
        flags=(-std="$standard" "${warnings[@]}" -O1 -g "${include[@]}")
        "$cc" "${flags[@]}" "${sources[@]}" -o "$build/tests_static_${cc}_$standard" "${static[@]}"
        run "$cc $standard, static" "$build/tests_static_${cc}_$standard" "${arguments[@]}"
    done
    "$cc" -std=c99 "${warnings[@]}" -O1 -g "${include[@]}" "${sources[@]}" -o "$build/tests_dynamic_$cc" "${dynamic[@]}"
    run "$cc c99, dynamic" "$build/tests_dynamic_$cc" "${arguments[@]}"
    "$cc" -std=c99 "${warnings[@]}" "${include[@]}" "$here/quick_start.c" -o "$build/quick_start_$cc" "${dynamic[@]}"
    run_plain "$cc quick start" "$build/quick_start_$cc"
done

for cxx in g++ clang++; do
    command -v "$cxx" >/dev/null 2>&1 || continue
    flags=(-std=c++17 "${warnings[@]}" -O1 -g "${include[@]}")
    "$cxx" "${flags[@]}" "$here/client.cpp" -o "$build/client_$cxx" "${dynamic[@]}"
    run "$cxx c++17 client, dynamic" "$build/client_$cxx" "${arguments[1]}"
    # The same tests as C++, and the header alone as an older one.
    "$cxx" -std=c++11 "${warnings[@]}" "${include[@]}" -x c++ -fsyntax-only "$top/include/calcore.h"
    "$cxx" "${flags[@]}" -x c++ "${sources[@]}" -x none -o "$build/tests_$cxx" "${static[@]}"
    run "$cxx c++17, static" "$build/tests_$cxx" "${arguments[@]}"
done

# Faults on the C side of the border, and leaks on both.
gcc -std=c99 "${warnings[@]}" -O1 -g -fsanitize=address,undefined -fno-sanitize-recover=all "${include[@]}" \
    "${sources[@]}" -o "$build/tests_sanitized" "${static[@]}"
run "gcc c99, address and undefined sanitizers" "$build/tests_sanitized" "${arguments[@]}"

# Faults inside the library, which the sanitizers of the C compiler do not see. Optimised code may compute with a byte that
# was not written and throw the outcome away (a choice between two constants, by the tag of an enum that is not there): only
# the build without optimisation is searched for values that depend on such bytes.
if command -v valgrind >/dev/null 2>&1; then
    undefined=no
    if [ "$(basename "$library")" = debug ]; then undefined=yes; fi
    run "valgrind (undefined values: $undefined)" valgrind --quiet --error-exitcode=9 --leak-check=full \
        --errors-for-leak-kinds=definite,indirect --undef-value-errors="$undefined" \
        "$build/tests_static_gcc_c99" "${arguments[@]}"
fi

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
