"""What people read: tables and sentences about a design and its motion."""
