"""The only SQL. A unit of work is a plain function of a Connection; one batcher owns every write."""
