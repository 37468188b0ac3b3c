# Every line here calls build/prepare.py, which works without make as well:
#   python3 build/prepare.py guide --port 8000

PORT ?= 8000
# The first Python on the path that really starts and is new enough.
PYTHON ?= $(shell for p in python3.13 python3 python3.14 python3.12 python3.11 python; do \
	$$p -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1 \
	&& { echo $$p; break; }; done)

ifeq ($(strip $(PYTHON)),)
$(error Dewglass needs Python 3.11 or newer and found none. Install it from python.org or your system's packages, then run this again)
endif

.PHONY: setup guide test bench publish lock

guide:    ## build the guide and serve it on this machine: make guide PORT=9000
	@$(PYTHON) build/prepare.py guide --port $(PORT)

setup:    ## install what the other commands need
	@$(PYTHON) build/prepare.py setup

test:     ## every check: style, types, layers, tests, browser
	@$(PYTHON) build/prepare.py test

bench:    ## the measurements in tests/bench
	@$(PYTHON) build/prepare.py bench

publish:  ## check every number, then write dist/
	@$(PYTHON) build/prepare.py publish

lock:     ## renew requirements/*.txt from requirements/*.in
	@$(PYTHON) build/prepare.py lock
