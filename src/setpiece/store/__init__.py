"""The workspace: tables, migrations, queries."""
