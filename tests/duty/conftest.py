"""Lets the duty tests share their invented parts."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
