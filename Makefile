# sunstoker: `make demo` to see it, `make test` to trust it, `make help` for the rest.

SHELL := /bin/sh
GO ?= go
NPM ?= npm
export CGO_ENABLED ?= 0

BUILD := build
BINARY := $(BUILD)/sunstoker
PAGE := dashboard/page
PAGE_STAMP := $(PAGE)/dist/index.html
PAGE_SOURCES := $(shell find $(PAGE) -path $(PAGE)/node_modules -prune -o -path $(PAGE)/dist -prune -o -type f -print)
STATICCHECK := $(BUILD)/tools/staticcheck-v0.8.2

# How the program is built that goes to a board. Functions of libraries are not copied
# into those that call them, which makes its file, and its share of memory, a fifteenth
# smaller; our own are, and so are those that figures are worked out with: the
# simulated year takes as long as before. HTTP/2 is left out, which nothing here speaks.
# On amd64 functions begin at every 16 bytes instead of 32, as they do on arm64 anyway.
ALIGN := $$(case $${arch:-$$($(GO) env GOARCH)} in amd64) echo -funcalign=16 ;; esac)
RELEASE := -trimpath -ldflags "-s -w $(ALIGN)" -tags nethttpomithttp2 \
	-gcflags=std=-l -gcflags=github.com/...=-l -gcflags=google.golang.org/...=-l \
	-gcflags=golang.org/...=-l -gcflags=go.yaml.in/...=-l -gcflags=periph.io/...=-l \
	-gcflags=math= -gcflags=math/...= -gcflags=slices= -gcflags=sync= -gcflags=sync/...= \
	-gcflags=runtime/...= -gcflags=internal/runtime/...=

PROOFS := $(BUILD)/proofs.log

.PHONY: help demo test proof lint race hil hil-pi hil-unit hil-page footprint crowd fleet fleet-load wear bench bench-compare fuzz pump-trial campaign bench-control page page-test mutants build cross package picture release-check release generate clean tools-present

help: ## list what can be made
	@sed -n 's/^\([a-z-]*\):.*## /\1\t/p' $(MAKEFILE_LIST)

demo: build ## a simulated house, faster than time, with its page and metrics
	$(BINARY) demo $(DEMO)

# Vetting is left to make lint, which does all of it.
test: page ## all tests but the slow suites
	$(GO) test -vet=off ./...

mutants: ## breaks the controller in one place at a time and sees whether its tests notice
	$(GO) test -tags mutants -run '^TestProofMutants$$' -v -timeout 90m ./control $(MUTANTS)

proof: ## what the proofs went through, in figures: every test named TestProof..., and the mutants (an hour)
	@mkdir -p $(BUILD)
	@SUNSTOKER_PROOF=whole $(GO) test -tags mutants -count 1 -timeout 90m -run '^TestProof' -v ./... >$(PROOFS) 2>&1 || { grep -v '^=== ' $(PROOFS); exit 1; }
	@sed -n 's/^ *[a-z_]*_test\.go:[0-9]*: proof: //p' $(PROOFS) | awk -F ' = ' '{ printf "%-64s %s\n", $$1, $$2 }'

build: page ## the program for this machine
	$(GO) build $(RELEASE) -o $(BINARY) ./cmd/sunstoker

page: $(PAGE_STAMP) ## the page that the program serves

$(PAGE_STAMP): $(PAGE_SOURCES) | tools-present
	cd $(PAGE) && $(NPM) ci --silent && $(NPM) run --silent build
	@touch $@

page-test: build ## the page in a real browser, at phone and desktop width
	@command -v chromium >/dev/null || { echo "missing: chromium (apt-get install chromium)"; exit 1; }
	cd $(PAGE) && $(NPM) run --silent check && $(NPM) test --silent

# Files that are built for one target alone, with the packages that they are in.
TAGGED := -tags mutants,hil,footprint,crowd,fleet ./control ./station/hil ./cmd/sunstoker ./deploy/fleet

lint: $(STATICCHECK) ## format, vet, staticcheck
	@unformatted=$$(gofmt -l $$(git ls-files '*.go')); [ -z "$$unformatted" ] || { echo "gofmt wants:"; echo "$$unformatted"; exit 1; }
	$(GO) vet ./...
	$(GO) vet $(TAGGED)
	$(STATICCHECK) ./...
	$(STATICCHECK) $(TAGGED)

$(STATICCHECK):
	GOBIN=$(CURDIR)/$(BUILD)/tools $(GO) install honnef.co/go/tools/cmd/staticcheck@v0.8.2
	mv $(BUILD)/tools/staticcheck $@

# These rooms start no goroutine (a test holds that), so no race can be in them, and
# their tests would take half of the time. Nor is there one in the commands that only
# work out something from start to end.
QUIET := -e '^sunstoker/control$$' -e '^sunstoker/docs$$' -e '^sunstoker/physics$$' -e '^sunstoker/sim' -e '^sunstoker/site' \
	-e '^sunstoker/planner/explain$$' -e '^sunstoker/planner/handover$$' -e '^sunstoker/planner/letter$$' \
	-e '^sunstoker/planner/paper' -e '^sunstoker/planner/recorded$$' -e '^sunstoker/planner/replay$$'
WORKED_OUT := TestScripts/(explain|letter|replay|simulate|size)$$|^TestWalk$$

race: ## all tests but those of rooms without goroutines with the race detector (needs a C compiler)
	CGO_ENABLED=1 $(GO) test -race -skip '$(WORKED_OUT)' $$($(GO) list ./... | grep -v $(QUIET) -e '^sunstoker/planner' -e '^sunstoker/history$$')
	CGO_ENABLED=1 $(GO) test -race -short ./planner/campaign ./planner/sizing ./history # without the long ones
	CGO_ENABLED=1 $(GO) test -race -run '^(TestSweep|TestYearsSideBySide)' ./planner ./planner/rivals # what runs years at once; all else there goes one after the other

hil: ## daemon and guard in a real kernel, in an emulator: every kind of death, with times (3 min; installs what it needs)
	station/hil/boot

hil-pi: ## the same on an emulated board with a real pin controller that keeps, or frees, the outputs of a dead program
	station/hil/boot-pi

hil-unit: package ## the shipped package under systemd and udev, in an emulator: rights, devices, every end of the services (5 min; installs what it needs)
	station/hil/boot-unit

hil-page: hil hil-pi hil-unit ## all three, and what they measured as deploy/deaths-and-levels.md
	station/hil/page

footprint: build ## memory, processor time, scrapes and file beside Debian's prometheus-node-exporter, against their bars (2 min; installs it); FOOTPRINT="-spell 70s" for less
	@command -v prometheus-node-exporter >/dev/null || { apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -qq -y --no-install-recommends prometheus-node-exporter >/dev/null; }
	$(GO) test -tags footprint ./cmd/sunstoker -run '^TestFootprint' -count 1 -v $(FOOTPRINT)

wear: ## what a busy day of the history writes to a card, its file system's journal included: an emulated machine (2 min)
	history/wear

crowd: build ## how late ticks begin beside 500 slow callers and 50 live viewers, in real time (1 min); CROWD="-crowd-spell 15s" for less
	$(GO) test -tags crowd ./cmd/sunstoker -run '^TestCrowd$$' -count 1 -v $(CROWD)

fleet: build ## three houses before a real Prometheus with its door and an agent: a fault raises the right alert at the right house, and its mail comes (2 min; needs prometheus, prometheus-alertmanager)
	$(GO) test -tags fleet ./deploy/fleet -run '^Test(ThreeHouses|Mail)$$' -count 1 -v

fleet-load: build ## what a house costs an installer's Prometheus: memory, disk, processor; FLEET="-houses 200 -every 2s" for less (11 min; needs prometheus)
	$(GO) test -tags fleet ./deploy/fleet -run '^TestLoad$$' -count 1 -v -timeout 60m $(FLEET)

bench: ## how fast it is: the controller's step, the plant's step
	$(GO) test -run '^$$' -bench . -benchmem ./...

BASE ?= origin/main
BENCH ?= .
ROOMS ?= ./control
BENCHSTAT := golang.org/x/perf/cmd/benchstat@v0.0.0-20260908200009-22c9c6c9d4da
COMPARED := $(BUILD)/bench

# Both in turn, so that what else the machine does falls on both alike.
bench-compare: ## benchmarks of this tree beside those of another commit; BASE=v1.0.0 BENCH=Step ROOMS=./control
	@git worktree remove --force $(COMPARED)/base 2>/dev/null; rm -rf $(COMPARED); git worktree prune; mkdir -p $(COMPARED)
	git worktree add --quiet --detach $(COMPARED)/base $(BASE)
	@for turn in 1 2 3 4 5 6; do \
		(cd $(COMPARED)/base && $(GO) test -run '^$$' -bench '$(BENCH)' -benchmem $(ROOMS)) >>$(COMPARED)/base.txt || exit 1; \
		$(GO) test -run '^$$' -bench '$(BENCH)' -benchmem $(ROOMS) >>$(COMPARED)/here.txt || exit 1; \
	done
	git worktree remove --force $(COMPARED)/base
	cd $(COMPARED) && $(GO) run $(BENCHSTAT) base.txt here.txt

pump-trial: ## starts, electricity and heat of spared loop pumps: three loops in eight places (5 min)
	SUNSTOKER_PROOF=whole $(GO) test ./planner -count 1 -v -timeout 60m -run '^TestProofPumpsAreSpared$$'

fuzz: ## every fuzz target for FUZZTIME (default 10s) each
	@for package in $$($(GO) list ./...); do \
		for target in $$($(GO) test -list '^Fuzz' $$package | grep '^Fuzz'); do \
			$(GO) test -run '^$$' -fuzz "^$$target\$$" -fuzztime $${FUZZTIME:-10s} $$package || exit 1; \
		done; \
	done

campaign: ## every failure thrown at simulated houses, pairs of them, and 200 plant-years; writes deploy/failure-verdicts.md
	SUNSTOKER_PROOF=whole $(GO) test ./planner/campaign -run '^TestProof' -count 1 -v -timeout 60m -update

bench-control: ## ways of running the heater against each other at equal comfort, in one table; half an hour; CONTROL="-seeds 3 -points runs.csv -only desert -told -odds 40"
	$(GO) test ./planner/rivals -run '^TestTable$$' -count 1 -v -timeout 120m -table $(CONTROL)

cross: page ## the program for the boards it is made for
	@for target in arm64: arm:6 arm:7 amd64:; do \
		arch=$${target%%:*}; GOOS=linux GOARCH=$$arch GOARM=$${target##*:} $(GO) build $(RELEASE) \
			-o $(BUILD)/sunstoker-linux-$$(echo $$target | tr -d :) ./cmd/sunstoker || exit 1; \
	done

package: build cross ## Debian packages for the boards and for amd64, with their sums, under build/package
	deploy/package/build

picture: build ## the picture of the page in README.md, out of the simulated house (needs chromium)
	@command -v chromium >/dev/null || { echo "missing: chromium (apt-get install chromium)"; exit 1; }
	cd $(PAGE) && node test/picture.mjs $(CURDIR)/docs/page.png

release-check: ## whether all is ready for a release; VERSION=v1.2.0
	deploy/package/release check "$(VERSION)"

release: ## sets the tag and makes the packages, on this machine alone; VERSION=v1.2.0
	deploy/package/release make "$(VERSION)"

generate: ## write the generated files anew
	$(GO) generate ./...

clean: ## drop everything that was built
	rm -rf $(BUILD) $(PAGE)/dist/* $(PAGE)/node_modules

tools-present:
	@command -v node >/dev/null || { echo "missing: Node.js 20 or later (apt-get install nodejs npm)"; exit 1; }
	@command -v $(GO) >/dev/null || { echo "missing: Go 1.26 or later"; exit 1; }
