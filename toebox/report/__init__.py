"""From a solution to words, tables, drawings and pages."""
