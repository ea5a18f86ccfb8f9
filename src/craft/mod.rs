//! What is known of the craft. Nothing here happens: figures, names and plans, each with its source.

pub mod materials;
pub mod physics;
pub mod quantities;
pub mod recipe;

#[cfg(test)]
mod tests {
    mod reference_tables;
}
