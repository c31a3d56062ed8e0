"""What phones talk to: `/api/v1/`."""
