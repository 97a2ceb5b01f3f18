"""Text to numbers and numbers to text; the only place that knows pint."""
