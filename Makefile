# skimcut: 'make help' prints every target.

# A packager may set these.
CC       ?= cc
CFLAGS   ?= -O2 -g
CPPFLAGS ?=
LDFLAGS  ?=
PREFIX   ?= /usr/local
DESTDIR  ?=
BUILD    ?= build

# The project's own.
WARNINGS = -Wall -Wextra -Wconversion -Wshadow -Wstrict-prototypes -Wmissing-prototypes -Wno-missing-field-initializers -Werror
OWN_CPPFLAGS = -Iinclude -D_XOPEN_SOURCE=700
# No fused multiply-add: one source, one answer, on every machine.
OWN_CFLAGS = -std=c17 -ffp-contract=off $(WARNINGS)
COMPILE = $(CC) $(OWN_CPPFLAGS) $(CPPFLAGS) $(OWN_CFLAGS) $(CFLAGS) -MMD -MP

# In the order of the tour: a file includes only what stands above it.
CORE   = text length quantity arena diag markup
MOTION = clock
JOB    = yaml schema materials job intake measured
PLAN   = cutter rates dial engagement schedule layout loads surface hold grip plan chips weigh remark fit path choice ranking
POST   = dialect writer
PROOF  = block meaning lines arc reader sweep carve demand finding cutting proof
TRIAL  = language trial
DRAWING = scale svg label dimension caption view workholding heights sideview topview depthview
REPORT = caution paper json weighing handwork wording summary verdict standings tables sheet amount rows weighed data numeral contract
CLI    = input output progress work plan program prove sheet cutters list new schema main

LIBRARY = $(CORE:%=src/core/%.c) $(MOTION:%=src/motion/%.c) $(JOB:%=src/job/%.c) $(PLAN:%=src/plan/%.c) \
          $(POST:%=src/post/%.c) $(PROOF:%=src/proof/%.c) $(TRIAL:%=src/trial/%.c) \
          $(DRAWING:%=src/drawing/%.c) $(REPORT:%=src/report/%.c)
PROGRAM = $(CLI:%=src/cli/%.c)
SHIPPED = $(sort $(wildcard post/*.yaml)) samples/starter-inch.yaml samples/starter-mm.yaml

UNIT     = $(sort $(wildcard tests/unit/test_*.c))
EXTERNAL = $(sort $(wildcard tests/external/test_*.c))
FUZZ     = $(sort $(wildcard tests/fuzz/fuzz_*.c))

LIBRARY_OBJECTS = $(LIBRARY:%.c=$(BUILD)/%.o) $(BUILD)/shipped.o
PROGRAM_OBJECTS = $(PROGRAM:%.c=$(BUILD)/%.o)
UNIT_TESTS      = $(UNIT:%.c=$(BUILD)/%)
EXTERNAL_TESTS  = $(EXTERNAL:%.c=$(BUILD)/%)
FUZZERS         = $(FUZZ:%.c=$(BUILD)/%)

all: $(BUILD)/skimcut ## build the program

$(BUILD)/skimcut: $(PROGRAM_OBJECTS) $(BUILD)/libskimcut.a
	$(CC) $(CFLAGS) $(LDFLAGS) -o $@ $^ -lyaml -ljansson -lm

$(BUILD)/libskimcut.a: $(LIBRARY_OBJECTS)
	@rm -f $@
	$(AR) rcs $@ $^

$(BUILD)/shipped.c: src/post/shipped.awk $(SHIPPED)
	@mkdir -p $(@D)
	awk -f src/post/shipped.awk $(SHIPPED) >$@.new && mv $@.new $@

$(BUILD)/shipped.o: $(BUILD)/shipped.c
	$(COMPILE) -c -o $@ $<

$(BUILD)/%.o: %.c
	@mkdir -p $(@D)
	$(COMPILE) -c -o $@ $<

# --- what a newcomer runs ---

demo: setup-demo ## install what is missing, build, plan and write a program for a sample
	@$(MAKE) --no-print-directory all
	$(BUILD)/skimcut plan samples/pump-foot.yaml
	$(BUILD)/skimcut program samples/pump-foot.yaml -o $(BUILD)/pump-foot.nc
	@echo; echo "The plan is above. The program is in $(BUILD)/pump-foot.nc:"; echo; sed -n '1,20p' $(BUILD)/pump-foot.nc
	@echo "..."; echo; echo "Next: $(BUILD)/skimcut new > my-part.yaml, change it, and $(BUILD)/skimcut plan my-part.yaml"

check: setup-check ## install what is missing, build and run every test that needs no browser or Node.js
	@$(MAKE) --no-print-directory check-built

check-built: all unit reference-check bad-check external-check fuzz-replay tree-check pages-check manual-check data-check \
             commands-check completion-check
	@echo "make check: all of it passed"

check-all: check check-rest ## make check, then the tests that need Node.js or a browser, and all tests again under the sanitizers
	@echo "make check-all: all of it passed"

check-rest: setup-check-all ## what check-all adds to check
	@$(MAKE) --no-print-directory words-check contract-check browser-check sanitize

setup-demo:
	@sh tests/setup.sh demo
setup-check:
	@sh tests/setup.sh check
setup-check-all:
	@sh tests/setup.sh check-all

# --- tests ---

$(BUILD)/tests/unit/%: tests/unit/%.c $(BUILD)/libskimcut.a $(BUILD)/skimcut
	@mkdir -p $(@D)
	$(COMPILE) -Isrc/cli -DSKIMCUT='"$(BUILD)/skimcut"' $(LDFLAGS) -o $@ $< $(UNIT_EXTRA) $(BUILD)/libskimcut.a -lcmocka -lyaml -ljansson -lm

# One test fails allocations in turn, so it links malloc through itself.
$(BUILD)/tests/unit/test_arena $(BUILD)/tests/unit/test_memory: private LDFLAGS += -Wl,--wrap=malloc

# The command line's own files are tested as they are linked into the program.
$(BUILD)/tests/unit/test_output: UNIT_EXTRA = $(BUILD)/src/cli/output.o
$(BUILD)/tests/unit/test_input: UNIT_EXTRA = $(BUILD)/src/cli/input.o
$(BUILD)/tests/unit/test_progress: UNIT_EXTRA = $(BUILD)/src/cli/progress.o
# By its own clock, so that a second takes none.
$(BUILD)/tests/unit/test_progress: private LDFLAGS += -Wl,--wrap=clock_gettime

# One test reads drawings with libxml2.
$(BUILD)/tests/external/test_drawing: private EXTERNAL_CPPFLAGS = $(patsubst -I%,-isystem %,$(shell xml2-config --cflags))
$(BUILD)/tests/external/test_drawing: private EXTERNAL_LIBS = $(shell xml2-config --libs)

$(BUILD)/tests/external/%: tests/external/%.c $(BUILD)/libskimcut.a $(BUILD)/skimcut
	@mkdir -p $(@D)
	$(COMPILE) -DSKIMCUT='"$(BUILD)/skimcut"' $(EXTERNAL_CPPFLAGS) $(LDFLAGS) -o $@ $< $(BUILD)/libskimcut.a -lcmocka -lgeos_c $(EXTERNAL_LIBS) -lyaml -ljansson -lm

unit: $(UNIT_TESTS) ## unit tests, one program for each source file
	@for test in $(UNIT_TESTS); do echo "$$test"; "$$test" || exit 1; done

mutants: ## the test of damaged programs, everywhere in every program; prints the score
	@$(MAKE) --no-print-directory -s BUILD=$(BUILD)/mutants CPPFLAGS="-DMUTANTS_EVERYWHERE" $(BUILD)/mutants/tests/unit/test_mutants
	@$(BUILD)/mutants/tests/unit/test_mutants

external-check: $(EXTERNAL_TESTS) ## checks against what nobody here wrote
	@for test in $(EXTERNAL_TESTS); do echo "$$test"; "$$test" || exit 1; done

reference-check: all ## programs and plans of the samples, byte for byte
	@sh tests/reference/compare.sh $(BUILD)/skimcut

reference: all $(BUILD)/tests/pages ## write the reference programs, plans and the tables in docs/ anew; read the diff
	@sh tests/reference/regenerate.sh $(BUILD)/skimcut $(BUILD)/tests/pages

bad-check: all ## bad inputs and the exact message each must get
	@sh tests/bad/compare.sh $(BUILD)/skimcut

tree-check: ## the order of the tour, headers that compile alone, no stray file at the top
	@sh tests/tree.sh $(CC)

pages-check: all $(BUILD)/tests/pages ## the tables in docs/ are those of the code
	@sh tests/pages.sh $(BUILD)/tests/pages $(BUILD)/skimcut

$(BUILD)/tests/pages: tests/pages.c $(BUILD)/libskimcut.a
	@mkdir -p $(@D)
	$(COMPILE) $(LDFLAGS) -o $@ $< $(BUILD)/libskimcut.a -lyaml -ljansson -lm

manual-check: ## the man page, as mandoc sees it
	mandoc -Tlint docs/skimcut.1

words-check: all ## the words of every reference program, read by a general-purpose parser from npm
	@sh tests/external/words.sh

contract-check: all ## samples and bad jobs against the JSON Schema, by a general-purpose validator from npm
	@sh tests/external/contract.sh

browser-check: all ## the sheets in a browser: on screens of three sizes and on two sizes of paper
	@sh tests/browser/browser.sh

data-check: all ## the keys of the plan as JSON are those that docs/data.md has
	@sh tests/external/data.sh $(BUILD)/skimcut

commands-check: all ## every command that README and docs/ show
	@sh tests/commands.sh $(BUILD)/skimcut

completion-check: all ## what bash completes
	@sh tests/completion.sh $(BUILD)/skimcut

# Fuzz targets: replayed over their corpus with any compiler, or run by clang's libFuzzer.
$(BUILD)/tests/fuzz/%: tests/fuzz/%.c tests/fuzz/replay.c $(BUILD)/libskimcut.a
	@mkdir -p $(@D)
	$(COMPILE) $(LDFLAGS) -o $@ $< tests/fuzz/replay.c $(BUILD)/libskimcut.a -lyaml -ljansson -lm

DAMAGED ?= 200
fuzz-replay: $(FUZZERS) ## inputs that once hurt through every fuzz target, whole and damaged
	@for target in $(FUZZERS); do "$$target" -n $(DAMAGED) tests/fuzz/corpus/$$(basename $$target | sed s/fuzz_//)/* samples/*.yaml post/*.yaml || exit 1; done

SECONDS ?= 60
fuzz: ## let libFuzzer look for new ones: make fuzz SECONDS=600
	@sh tests/fuzz/run.sh $(SECONDS)

sanitize: ## all tests under the address and undefined-behaviour sanitizers, every allocation on its own
	@$(MAKE) --no-print-directory BUILD=$(BUILD)/sanitize CPPFLAGS="-DMUTANTS_FEW" \
	  CFLAGS="-O1 -g -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer -DARENA_CHUNK=1" \
	  unit reference-check bad-check external-check fuzz-replay

valgrind: all ## the samples under valgrind
	@for job in samples/*.yaml; do case $$job in */shop-*) continue;; esac; \
	  valgrind -q --error-exitcode=9 --leak-check=full $(BUILD)/skimcut program $$job >/dev/null 2>$(BUILD)/valgrind.log || \
	  { cat $(BUILD)/valgrind.log; exit 1; }; done; echo "valgrind: nothing found"

bench: all ## what it costs, as ratios measured in one run
	@sh tests/bench/bench.sh $(BUILD)/skimcut

# --- care ---

SOURCES = $(LIBRARY) $(PROGRAM) $(wildcard include/skimcut/*.h src/cli/*.h) $(UNIT) $(EXTERNAL) $(FUZZ) $(wildcard tests/*.c tests/*/*.h tests/fuzz/replay.c)

format: ## clang-format over everything
	clang-format -i $(sort $(SOURCES))

lint: ## both compilers without a warning, clang-format, clang-tidy, cppcheck, shellcheck
	@$(MAKE) --no-print-directory BUILD=$(BUILD)/lint-gcc CC=gcc all
	@$(MAKE) --no-print-directory BUILD=$(BUILD)/lint-clang CC=clang all
	clang-format --dry-run --Werror $(sort $(SOURCES))
	clang-tidy --quiet $(LIBRARY) $(PROGRAM) -- $(OWN_CPPFLAGS) -std=c17
	cppcheck --quiet --std=c11 --enable=warning,portability --error-exitcode=1 --suppress=internalAstError -Iinclude $(LIBRARY) $(PROGRAM)
	shellcheck tests/*.sh tests/*/*.sh .ci/run

install: all ## to $(DESTDIR)$(PREFIX)
	install -d $(DESTDIR)$(PREFIX)/bin $(DESTDIR)$(PREFIX)/share/man/man1 $(DESTDIR)$(PREFIX)/share/doc/skimcut \
	           $(DESTDIR)$(PREFIX)/share/bash-completion/completions
	install -m 755 $(BUILD)/skimcut $(DESTDIR)$(PREFIX)/bin/skimcut
	install -m 644 docs/skimcut.1 $(DESTDIR)$(PREFIX)/share/man/man1/skimcut.1
	install -m 644 docs/skimcut.bash $(DESTDIR)$(PREFIX)/share/bash-completion/completions/skimcut
	install -m 644 README.md docs/*.md $(DESTDIR)$(PREFIX)/share/doc/skimcut

uninstall: ## what install put there
	rm -f $(DESTDIR)$(PREFIX)/bin/skimcut $(DESTDIR)$(PREFIX)/share/man/man1/skimcut.1 \
	      $(DESTDIR)$(PREFIX)/share/bash-completion/completions/skimcut
	rm -rf $(DESTDIR)$(PREFIX)/share/doc/skimcut

clean: ## remove what was built
	rm -rf $(BUILD)

help: ## this list
	@grep -hE '^[a-z-]+:.*##' Makefile | sed 's/:.*##/\t/' | expand -t 18

.PHONY: all demo check check-built check-all check-rest setup-demo setup-check setup-check-all unit mutants external-check reference-check reference \
        bad-check tree-check pages-check manual-check words-check contract-check browser-check data-check commands-check completion-check fuzz-replay fuzz sanitize valgrind bench format lint install \
        uninstall clean help
.DELETE_ON_ERROR:

-include $(wildcard $(BUILD)/*.d $(BUILD)/*/*.d $(BUILD)/*/*/*.d)
