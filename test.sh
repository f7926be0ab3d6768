#!/bin/sh
# Everything that must hold before a change is kept: formatting, vet, the
# build without C, all tests, and the comparisons with GLPK where it is
# installed. As root on a Debian system it installs what is missing;
# elsewhere it says what to type and, at its end, what was left out.
set -u
cd "$(dirname "$0")" || exit 1

failed=''
left_out=''

say() { printf '%s\n' "$*"; }

# step NAME COMMAND... runs a command and remembers its failure.
step() {
	name=$1
	shift
	say "== $name"
	if ! "$@"; then
		failed="$failed
  $name"
	fi
}

# omit WHAT remembers what was not done.
omit() {
	left_out="$left_out
  $1"
}

# has_glpk tells whether a C program can be built against GLPK.
has_glpk() {
	command -v "${CC:-cc}" >/dev/null 2>&1 || return 1
	printf '#include <glpk.h>\nint main(void) { return glp_version() == 0; }\n' |
		"${CC:-cc}" -x c -o /dev/null - -lglpk >/dev/null 2>&1
}

# has_ezdxf tells whether a python3 can measure shapes and read drawings.
has_ezdxf() {
	for python in python3 /usr/bin/python3; do
		"$python" -c 'import ezdxf.math, shapely.geometry' >/dev/null 2>&1 && return 0
	done
	return 1
}

# find_dxf_parser tells whether node finds dxf-parser, where npm keeps what is
# installed for all if need be.
find_dxf_parser() {
	command -v node >/dev/null 2>&1 || return 1
	node -e "require('dxf-parser')" >/dev/null 2>&1 && return 0
	command -v npm >/dev/null 2>&1 || return 1
	NODE_PATH=$(npm root --global 2>/dev/null)
	export NODE_PATH
	node -e "require('dxf-parser')" >/dev/null 2>&1
}

# has_browser tells whether there is one that the tests of the pages drive.
has_browser() {
	for browser in chromium chromium-browser google-chrome; do
		command -v "$browser" >/dev/null 2>&1 && return 0
	done
	return 1
}

# missing lists the packages that are wanted and not there.
missing() {
	command -v pdftotext >/dev/null 2>&1 || printf ' poppler-utils'
	command -v qpdf >/dev/null 2>&1 || printf ' qpdf'
	command -v zbarimg >/dev/null 2>&1 || printf ' zbar-tools'
	has_browser || printf ' chromium'
	command -v "${CC:-cc}" >/dev/null 2>&1 || printf ' gcc libc6-dev'
	has_glpk || printf ' libglpk-dev'
	command -v glpsol >/dev/null 2>&1 || printf ' glpk-utils'
	has_ezdxf || printf ' python3 python3-ezdxf python3-shapely'
}

# install PACKAGE... installs quietly, each by itself so that one that cannot
# be had does not keep the others away.
install() {
	export DEBIAN_FRONTEND=noninteractive
	updated=''
	for package; do
		apt-get install -y -qq --no-install-recommends "$package" >/dev/null 2>&1 && continue
		if [ -z "$updated" ]; then
			apt-get update -qq >/dev/null 2>&1
			updated=yes
		fi
		apt-get install -y -qq --no-install-recommends "$package" >/dev/null ||
			say "test.sh: apt-get could not install $package" >&2
	done
}

if ! command -v go >/dev/null 2>&1; then
	say 'test.sh: there is no go command: install Go first, at the version that go.mod names.' >&2
	exit 1
fi

wanted=$(missing)
if [ -n "$wanted" ] && command -v apt-get >/dev/null 2>&1; then
	if [ "$(id -u)" = 0 ]; then
		say "== installing$wanted"
		# shellcheck disable=SC2086
		install $wanted
	else
		say 'test.sh: some tests need more programs. To install them, type'
		say "    sudo apt-get install$wanted"
	fi
elif [ -n "$wanted" ]; then
	say 'test.sh: some tests need more programs: poppler (pdftotext), qpdf, zbarimg, chromium, a C compiler, GLPK with its header and glpsol, python3 with ezdxf and shapely. On Debian, type'
	say "    sudo apt-get install$wanted"
fi
command -v pdftotext >/dev/null 2>&1 || omit 'the reading of PDF files with poppler (pdftotext is not installed)'
command -v qpdf >/dev/null 2>&1 || omit 'the check of PDF files with qpdf (qpdf is not installed)'
command -v zbarimg >/dev/null 2>&1 || omit 'the reading of the codes on labels (zbarimg is not installed)'
has_browser || omit 'the pages in a browser (chromium is not installed)'
command -v glpsol >/dev/null 2>&1 || omit 'the model of purchases (glpsol is not installed)'
has_ezdxf || omit 'the comparison of shapes and the reading of drawings with ezdxf and shapely (no python3 has both)'
if ! find_dxf_parser && command -v npm >/dev/null 2>&1 && [ "$(id -u)" = 0 ]; then
	say '== installing dxf-parser of npm'
	npm install --global --silent dxf-parser@1.1.2 >/dev/null 2>&1
fi
find_dxf_parser || omit 'the reading of drawings with dxf-parser (npm install --global dxf-parser@1.1.2)'
bench=${SAWBILL_BENCH:-../shared/bench}
[ -d "$bench" ] || omit 'the published instances (there is no folder of them: set SAWBILL_BENCH)'

formatted() {
	files=$(gofmt -l .) || return 1
	[ -z "$files" ] && return 0
	say 'these files are not as gofmt writes them:'
	say "$files"
	return 1
}

build_without_c() { CGO_ENABLED=0 go build ./...; }

step 'gofmt' formatted
step 'go vet ./...' go vet ./...
step 'go build ./... without C' build_without_c
step 'go test ./...' go test ./...

if has_glpk; then
	export CGO_ENABLED=1
	step 'go vet -tags glpk ./solver/...' go vet -tags glpk ./solver/...
	step 'go test -tags glpk ./solver/... ./nest1d/...' go test -tags glpk ./solver/... ./nest1d/...
else
	omit 'the comparison with GLPK (no C compiler, or no GLPK with its header)'
fi

if [ -n "$left_out" ]; then
	say ''
	say "test.sh: LEFT OUT, NOT TESTED:$left_out"
fi
if [ -n "$failed" ]; then
	say ''
	say "test.sh: FAILED:$failed"
	exit 1
fi
say ''
if [ -n "$left_out" ]; then
	say 'test.sh: what was run passed.'
else
	say 'test.sh: everything passed.'
fi
