"""Forms: what a user may put in, as fields with their checks, made without Streamlit."""
