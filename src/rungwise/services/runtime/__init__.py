"""What long work needs: results at hand, tables, another process, somebody who watches."""
