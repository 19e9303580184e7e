"""The books: money, licences, uses, statements, mileage, invoices. Values in, values out."""
