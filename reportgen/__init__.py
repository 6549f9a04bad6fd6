"""reportgen turns a surveyor's notes on a used boat into a report that others can read, check and trust."""

__version__ = "0.1.0"
__all__ = ["__version__"]
