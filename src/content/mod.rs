//! Raw text formats → checked types.
