"""The jobs: they join pictures, store and senders, and ask through one interface."""
