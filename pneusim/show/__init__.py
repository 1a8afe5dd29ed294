"""What people see: tables and figures."""
