"""Lets the audit's tests share their invented worlds."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
