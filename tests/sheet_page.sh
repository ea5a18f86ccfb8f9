#!/bin/sh
# Prints a bench sheet of four panels on A4 and on Letter with Chromium and tells on how many sides it stands; one of each
# is wanted. Leaves pictures beside it where pdftoppm is at hand.
# Use: tests/sheet_page.sh [DIR]   with target/debug/sottile built
set -eu
program=$(pwd)/target/debug/sottile
dir=${1:-$(mktemp -d)}
mkdir -p "$dir"
cd "$dir"
export SOTTILE_DATA="$dir/data"
for recipe in gypsum-zinc balanced-ply; do
    rm -rf data
    for panel in Wren Lark Finch "Robin of the far and windy north"; do
        "$program" new "$panel" --size 300x400x12mm --recipe $recipe >/dev/null 2>&1
    done
    "$program" sheet -o sheet.html --force
    for paper in A4 Letter; do
        sed "s/@page{margin/@page{size:$paper;margin/" sheet.html >"$recipe-$paper.html"
        chromium --headless --no-sandbox --disable-gpu --no-pdf-header-footer \
            --print-to-pdf="$recipe-$paper.pdf" "file://$dir/$recipe-$paper.html" >/dev/null 2>&1
        sides=$(grep -aoE '/Type */Page([^s]|$)' "$recipe-$paper.pdf" | wc -l)
        echo "$recipe on $paper: $sides"
        if command -v pdftoppm >/dev/null; then pdftoppm -r 75 -png "$recipe-$paper.pdf" "$recipe-$paper"; fi
    done
done
echo "in $dir"
