//! The annotated attribution sheet: page layout, PDF and PNG. Computes no evidence.
