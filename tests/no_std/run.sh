#!/usr/bin/env bash
# Builds the core without the standard library and without an allocator, links it with C and runs that. If a target without
# operating system is installed (rustup target add thumbv7em-none-eabihf), the core is checked for it as well.
set -euo pipefail
cd "$(dirname "$0")"
target="$(cd ../.. && pwd)/target/no_std"
cargo build --quiet --target-dir "$target"
"${CC:-cc}" -std=c11 -Wall -Wextra -Werror main.c "$target/debug/libno_std_check.a" -lm -o "$target/main"
"$target/main"
sysroot="$(rustc --print sysroot)"
for bare in thumbv7em-none-eabihf thumbv7em-none-eabi riscv32imac-unknown-none-elf x86_64-unknown-none; do
    if [ -d "$sysroot/lib/rustlib/$bare" ]; then
        cargo check --quiet --manifest-path ../../calcore/Cargo.toml --no-default-features --target "$bare" \
            --target-dir "$target"
        printf 'no_std: checked for %s\n' "$bare"
    fi
done
