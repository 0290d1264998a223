"""The pages, one file for each question.

The folder is not called pages: Streamlit would serve its files one by one, past the shell.
"""
