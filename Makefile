# run, test, bench and dist are all there is to remember; the targets after them are their parts.
# Only Go and make are needed to run; `make test` says what else it wants, or installs it as root on Debian.

GOROOT := $(shell go env GOROOT)
# A version-control stamp would need a healthy git checkout and is never read.
export GOFLAGS := $(GOFLAGS) -buildvcs=false

# Property tests draw the same builds every time, so that a change is judged and not its luck; RAPID_SEED=0 draws new ones.
export RAPID_SEED ?= 1
export RAPID_NOFAILFILE := 1

STATICCHECK := honnef.co/go/tools/cmd/staticcheck@v0.8.2
JS := GOOS=js GOARCH=wasm

.PHONY: run test bench dist shots format vet staticcheck unit wasm chromium firefox node

# Builds the page and serves it until Ctrl-C.
run:
	go run ./wasm/build
	go run .

# Everything that must hold: format, vet, static analysis, tests here, in the browser and as WebAssembly.
test: format vet staticcheck unit wasm
	@if $(firefox_here); then echo "make test: all passed"; \
	else echo "make test: all passed, but NOTHING WAS TESTED IN FIREFOX, for there is none here"; fi

# Times and allocations of the core, and of the page in a real browser.
bench: chromium
	go test -run '^$$' -bench . -benchmem ./...

# Writes public/dist/: exactly the files a static host needs, and headroom.html, the whole planner in one file.
dist:
	go run ./wasm/build -dist

# Pictures of the page in every size and scheme, for people to look at.
shots: chromium
	HEADROOM_SHOTS=$${TMPDIR:-/tmp}/headroom-shots go test -count=1 -run TestShots ./wasm/browser
	@echo "the pictures are in $${TMPDIR:-/tmp}/headroom-shots"

format:
	@bad=$$(find . -name '*.go' ! -name '*_gen.go' ! -path './.git/*' -exec $(GOROOT)/bin/gofmt -l {} +); \
	if [ -n "$$bad" ]; then echo "not in Go's format (run gofmt -w on them):" $$bad; exit 1; fi

vet:
	go vet ./...
	$(JS) go vet ./...

staticcheck:
	go run $(STATICCHECK) ./...
	go run -exec 'env $(JS)' $(STATICCHECK) ./wasm/...

unit: chromium firefox
	go test -timeout 20m ./...

# The same core in the machine code that the browser runs. The tests get a small environment, for Go's loader
# refuses a large one.
wasm: node
	$(JS) go test -exec "env -i RAPID_SEED=$(RAPID_SEED) RAPID_NOFAILFILE=1 PATH=$$(dirname "$$(command -v node)"):/usr/bin:/bin $(GOROOT)/lib/wasm/go_js_wasm_exec" ./core/...

# $(call need,WHAT,COMMANDS,DEBIAN PACKAGE,HINT): go on when one of the commands is there, install as root on Debian.
define need
	@for name in $(2); do command -v "$$name" >/dev/null 2>&1 && exit 0; done; \
	if [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null; then \
		apt-get update -q && DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends $(3); \
	else echo "make: the tests need $(1): install $(3)$(4)" >&2; exit 1; fi
endef

chromium:
	$(call need,a Chromium browser,$$HEADROOM_CHROMIUM chromium chromium-browser google-chrome,chromium, or name one in HEADROOM_CHROMIUM)

firefox_here = command -v "$${HEADROOM_FIREFOX:-firefox-esr}" >/dev/null 2>&1 || command -v firefox >/dev/null 2>&1

# The main job is tested in Firefox too. Where there is none, everything else still is, and the last word says so.
firefox:
	@if $(firefox_here); then exit 0; fi; \
	if [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null; then \
		apt-get update -q && DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends firefox-esr && exit 0; fi; \
	echo "make: no Firefox here, so NOTHING IS TESTED IN FIREFOX: install firefox-esr, or name one in HEADROOM_FIREFOX" >&2

node:
	$(call need,Node,node,nodejs,)
