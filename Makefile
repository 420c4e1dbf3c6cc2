# Two doors: `make run` builds everything and does the main job on the examples, `make test` checks
# everything. `make help` lists the rest.
SHELL := /bin/bash
.DEFAULT_GOAL := help
.PHONY: help run compare build needs front release release-check openapi test setup go-test lint schema reference licences golden independent browser-test fuzz bench bench-yardsticks load soak clean

# Bits must be the same on every machine: no fused multiply-add.
export GOAMD64 := v1
BIN := bin/crankwright
# Fails where generated files differ from what is committed, and says which.
UNCHANGED := tools/unchanged.sh
LINT := bin/golangci-lint

help: ## this list
	@grep -hE '^[a-z-]+:.*## ' $(MAKEFILE_LIST) | awk -F ':.*## ' '{printf "  make %-16s %s\n", $$1, $$2}'

run: build ## build everything and open the workbench on the example engines and briefs, copied to out/pilot-boat
	@[ -d out/pilot-boat ] || (mkdir -p out/pilot-boat && cp examples/*.engine.yaml examples/*.brief.yaml examples/*.study.yaml out/pilot-boat)
	$(BIN) serve out/pilot-boat $(ARGS)

compare: build ## compare the example engines: a table here, a page in out/compare.html
	@mkdir -p out
	$(BIN) compare examples/*.engine.yaml --html out/compare.html
	@echo
	@echo "The same with figures: out/compare.html"

build: front ## build the front end, then the command with it into bin/
	go build -trimpath -buildvcs=false -ldflags "-X 'main.stamp=$$(tools/stamp.sh)'" -o $(BIN) ./cmd/crankwright

needs:
	@tools/needs.sh

release: front ## one archive per platform, with checksums and bills of materials, into out/release (PLATFORMS=linux/amd64 for one)
	go mod verify
	go run ./tools/release -platforms "$(PLATFORMS)"

release-check: needs ## make the release of the last commit twice, in different folders: the same bytes
	tools/release-check.sh

front: web/dist/index.html ## build the front end into web/dist, where it has changed

# What the front end is made of; what its build generates is not part of it.
FRONT := $(shell find web/src web/public web/index.html web/*.config.* web/package-lock.json web/openapi.json -type f ! -name '*.generated.*' 2>/dev/null)

web/dist/index.html: web/node_modules/.package-lock.json $(FRONT)
	cd web && npm run build
	@touch $@ web/dist/.gitkeep

web/node_modules/.package-lock.json: web/package-lock.json | needs
	cd web && npm ci --no-audit --no-fund
	@touch $@

openapi: ## regenerate web/openapi.json from the Go types, and the front end's client from it
	go run ./tools/openapi
	cd web && npm run api

test: setup lint go-test browser-test ## everything that must pass
	@echo "All tests passed."

setup: needs ## install what the tests need and this machine lacks (Chromium, the multibody library)
	tools/setup.sh

go-test: web/node_modules/.package-lock.json ## Go tests with the race detector, generated files up to date
	go vet ./...
	go test -race -timeout 1800s ./...
	$(MAKE) --no-print-directory schema
	go run ./tools/openapi
	go run ./tools/vectors
	@$(UNCHANGED) schema web/openapi.json web/tests/unit/vectors

lint: $(LINT) ## golangci-lint with gofumpt
	$(LINT) run ./...

$(LINT): tools/lint/go.mod | needs
	@mkdir -p bin
	cd tools/lint && go build -o ../../$(LINT) github.com/golangci/golangci-lint/v2/cmd/golangci-lint

schema: ## regenerate the JSON Schemas in schema/
	go run ./tools/schema

reference: ## rewrite docs/reference: keys of files, commands, HTTP interface, packages
	go run ./tools/reference
	go test ./cmd/crankwright -run TestCommandReference -update

licences: ## rewrite docs/licences.md: under which licences stands what the program is built of
	go run ./tools/licences

golden: ## rewrite the golden files, to be read before they are committed
	go test ./draw ./report ./cmd/... -update
	go test ./spec -run TestWrongFiles -update

independent: ## recompute checks/independent with the multibody library, NumPy and SciPy
	go test ./checks/independent -run Inputs -update
	checks/independent/recompute.sh simbody checks/independent/raw
	checks/independent/recompute.sh numeric checks/independent/raw
	checks/independent/recompute.sh scipy checks/independent/cycles
	checks/independent/recompute.sh torsion checks/independent/shafts
	checks/independent/recompute.sh beam checks/independent/beams
	checks/independent/recompute.sh film checks/independent/films
	checks/independent/recompute.sh mount checks/independent/mounts
	checks/independent/recompute.sh choice checks/independent/choices
	checks/independent/recompute.sh search checks/independent/searches
	go test -count=1 ./checks/independent

browser-test: build ## front-end checks and unit tests; the comparison page and the whole workbench in real Chromium
	cd web && npm run api && npm run check && npm test
	@$(UNCHANGED) web/src/api/schema.d.ts

# TARGETS="FuzzReadStudy FuzzAPI" takes some of them.
MINUTES := 1
fuzz: ## fuzz all that reads what others write, and the numbers: MINUTES=1 each, beside other work
	tools/fuzz.sh $(MINUTES) $(TARGETS)

bench: ## every benchmark; the figures of docs/performance.md come from here
	go test -run XXX -bench . -benchmem ./num ./mechanics/... ./analysis ./choice ./decision ./draw ./spec ./report ./server

bench-yardsticks: ## our speed beside plain C, NumPy, SciPy and the multibody library: one table of ratios
	@cd checks/yardsticks && go test -count=1 -run TestMeasure -measure

load: build ## how fast the workbench answers when many ask at once: a table by request and concurrency
	go run ./tools/load $(ARGS)

soak: build ## MINUTES=60 of mixed requests; what the workbench holds, a line a minute
	go run ./tools/load -soak $(or $(MINUTES),60)m $(ARGS)

clean: ## remove what was built
	rm -rf bin out checks/independent/build checks/yardsticks/rivals/build web/node_modules web/test-results web/dist/*
