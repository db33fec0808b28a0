#!/usr/bin/env bash
# The RUN steps of Containerfile, in order, with its folders within the one given and nothing installed outside of it: the program that
# comes out flies a study that is nowhere near the sources.
set -euo pipefail
here=$(cd "$(dirname "$0")/../.." && pwd)
folder=$1
mkdir -p "$folder/src" "$folder/pack" "$folder/global" "$folder/work"
git -C "$here" ls-files -z --cached --others --exclude-standard | (cd "$here" && xargs -0 tar c --ignore-failed-read) | tar x -C "$folder/src"
export npm_config_prefix="$folder/global"
cd "$folder/src"
grep '^RUN ' Containerfile | sed 's/^RUN //' | while IFS= read -r step; do
  echo "container: $step"
  bash -euo pipefail -c "${step//\/pack/$folder/pack}" < /dev/null
done
rm -rf "$folder/src"
cd "$folder/work"
export PATH="$folder/global/bin:$PATH"
alight new first
alight fly first.yaml --flights 20 --out results
alight report results
echo "container: its steps make a program that flies"
