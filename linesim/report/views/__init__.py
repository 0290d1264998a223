"""What the pages of the dashboard show, made without Streamlit."""
