//! How much is decoded at once, over all threads: large pictures wait for each other, small ones never notice.
//!
//! A thread that holds some of it takes no more, or two could wait for each other.

use std::sync::{Condvar, Mutex, PoisonError};

/// Bytes of pixels that are decoded at once: two pictures of 24 megapixels in three colours.
const MOST_BYTES: usize = 150 << 20;

/// Room for pixels while they are decoded.
#[derive(Debug)]
pub(crate) struct Room {
    taken: Mutex<usize>,
    freed: Condvar,
}

/// The room that all decoding shares.
pub(crate) static ROOM: Room = Room { taken: Mutex::new(0), freed: Condvar::new() };

/// Some of the room; given back when dropped.
#[derive(Debug)]
pub(crate) struct Taken<'a> {
    room: &'a Room,
    bytes: usize,
}

impl Room {
    /// Waits until there is room for so many bytes, and takes it. A picture larger than all of it is decoded alone.
    pub(crate) fn take(&self, bytes: usize) -> Taken<'_> {
        let mut taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        while *taken > 0 && *taken + bytes > MOST_BYTES {
            taken = self.freed.wait(taken).unwrap_or_else(PoisonError::into_inner);
        }
        *taken += bytes;
        Taken { room: self, bytes }
    }
}

impl Drop for Taken<'_> {
    fn drop(&mut self) {
        *self.room.taken.lock().unwrap_or_else(PoisonError::into_inner) -= self.bytes;
        self.room.freed.notify_all();
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::*;

    #[test]
    fn large_pictures_wait_for_each_other_and_small_ones_do_not() {
        let room = Room { taken: Mutex::new(0), freed: Condvar::new() };
        let (now, most) = (AtomicUsize::new(0), AtomicUsize::new(0));
        std::thread::scope(|scope| {
            for _ in 0..6 {
                scope.spawn(|| {
                    let _taken = room.take(MOST_BYTES / 2);
                    most.fetch_max(now.fetch_add(1, Ordering::SeqCst) + 1, Ordering::SeqCst);
                    std::thread::sleep(std::time::Duration::from_millis(5));
                    now.fetch_sub(1, Ordering::SeqCst);
                });
            }
        });
        assert!((1..=2).contains(&most.into_inner()));
        assert_eq!(*room.taken.lock().unwrap(), 0, "all of it is given back");
        let large = room.take(3 * MOST_BYTES);
        drop(large);
        let (one, other) = (room.take(1), room.take(1));
        assert_eq!(*room.taken.lock().unwrap(), 2);
        drop((one, other));
    }
}
