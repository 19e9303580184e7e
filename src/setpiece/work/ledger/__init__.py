"""The ledger: entries, invoices, statements."""
