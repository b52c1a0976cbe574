#!/usr/bin/env bash
# Makes the profile and the three labels again, byte for byte. Needs (Debian):
# argyll python3-fonttools libharfbuzz-bin fonts-goudybookletter
# fonts-yanone-kaffeesatz fonts-cabin
set -euo pipefail
cd "$(dirname "$0")"
export PYTHONDONTWRITEBYTECODE=1
/usr/bin/python3 profile.py
/usr/bin/python3 labels.py
