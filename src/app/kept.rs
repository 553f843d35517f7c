//! What follows from settings and runs alone, kept from frame to frame until those change.

use eframe::egui::{Context, Id};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

/// What `make` gives; made again only when `key` is another than the last time something of this name was asked for.
pub fn kept<T: Send + Sync + 'static>(
    ctx: &Context,
    name: impl Hash + std::fmt::Debug,
    key: impl Hash,
    make: impl FnOnce() -> T,
) -> Arc<T> {
    let mut hasher = DefaultHasher::new();
    key.hash(&mut hasher);
    let key = hasher.finish();
    let id = Id::unique(("kept", name));
    let known = ctx.data(|data| data.get_temp::<(u64, Arc<T>)>(id));
    if let Some((_, value)) = known.filter(|(old, _)| *old == key) {
        return value;
    }
    let value = Arc::new(make());
    ctx.data_mut(|data| data.insert_temp(id, (key, Arc::clone(&value))));
    value
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thing_is_made_again_only_for_another_key() {
        let ctx = Context::default();
        let made = |key: u32, value: u32| *kept(&ctx, "thing", key, || value);
        assert_eq!((made(1, 10), made(1, 11), made(2, 12), made(1, 13)), (10, 10, 12, 13));
        assert_eq!(*kept(&ctx, "other", 1, || 20_u32), 20);
    }
}
