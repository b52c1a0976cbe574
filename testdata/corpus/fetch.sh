#!/usr/bin/env bash
# Fetches public PDFs, as other projects test with them and as typesetters
# document with them, from Debian's source and documentation packages into a
# folder outside of the repository. They keep their own licences: never commit
# them.
#
#   testdata/corpus/fetch.sh [FOLDER]
#
# The folder is that of QUOIN_CORPUS, or quoin-corpus in the user's cache. What
# is there already is not fetched again. Needs apt-get and about 3 GB while it
# runs.
set -euo pipefail
cd "$(dirname "$0")"
here=$PWD
corpus=${1:-${QUOIN_CORPUS:-${XDG_CACHE_HOME:-$HOME/.cache}/quoin-corpus}}
mkdir -p "$corpus"
corpus=$(cd "$corpus" && pwd)
case $corpus/ in "$(git rev-parse --show-toplevel)"/*) echo "$corpus lies in the repository" >&2; exit 2 ;; esac
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# keep FOLDER: moves all PDFs under $work/x to the corpus, numbered because names
# repeat.
keep() {
	local target=$corpus/$1 n=0
	mkdir -p "$target.part"
	while IFS= read -r -d '' file; do
		n=$((n + 1))
		cp "$file" "$target.part/$(printf '%04d' $n)-$(basename "$file" | tr -c 'A-Za-z0-9._\n-' _)"
	done < <(find "$work/x" -type f -iname '*.pdf' -size -20M -print0 | sort -z)
	rm -rf "$work/x"
	mv "$target.part" "$target"
	printf '%5d  %s\n' "$n" "$1"
}

# Debian's source and documentation packages, with a state of apt's own so that
# the machine's settings stay as they are.
mkdir -p "$work/apt/lists/partial" "$work/apt/archives/partial"
sources=/etc/apt/sources.list.d/debian.sources
[ -e "$sources" ] || sources=/etc/apt/sources.list
sed -e 's/^Types: deb$/Types: deb deb-src/' "$sources" >"$work/sources.${sources##*.}"
[ "${sources##*.}" = sources ] || sed -n 's/^deb /deb-src /p' "$sources" >>"$work/sources.list"
apt() {
	local command=$1
	shift
	apt-get -qq -o Dir::Etc::sourcelist="$work/sources.${sources##*.}" -o Dir::Etc::sourceparts=/dev/null \
		-o Dir::State::lists="$work/apt/lists" -o Dir::Cache="$work/apt" -o APT::Sandbox::User=root "$command" "$@"
}
updated=
fetch() { # fetch source|download PACKAGE
	[ -d "$corpus/debian-$2" ] && return
	[ -n "$updated" ] || apt update
	updated=yes
	mkdir -p "$work/get" "$work/x"
	case $1 in
	source) (cd "$work/get" && apt source --download-only --only-source "$2") ;;
	download) (cd "$work/get" && apt download "$2") ;;
	esac || { echo "not to be had: $2" >&2; rm -rf "$work/get" "$work/x"; return; }
	for file in "$work"/get/*; do
		case $file in
		*.asc | *.dsc) ;;
		*.deb) dpkg-deb -x "$file" "$work/x" ;;
		*.tar.*) tar -x -C "$work/x" -f "$file" ;;
		esac
	done
	keep "debian-$2"
	rm -rf "$work/get"
}
while read -r kind name; do
	case $kind in
	source) fetch source "$name" ;;
	doc) fetch download "$name" ;;
	*) echo "packages.txt: unknown kind $kind" >&2; exit 2 ;;
	esac
done < <(sed -e 's/#.*//' -e '/^ *$/d' "$here/packages.txt")
printf '%5d  PDFs in %s\n' "$(find "$corpus" -name '*.pdf' | wc -l)" "$corpus"
