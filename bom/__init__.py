"""Which relay drops in, what the repair costs, and what to buy: the job of a control-box bench, as a package."""

__version__ = "0.1.0"
