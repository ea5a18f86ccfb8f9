//! Disks that fail on purpose: one in memory that can lose its power, and one that fails the n-th call of another.

use super::storage::{Storage, StorageFile};
use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard};

/// When to fail, and how.
#[derive(Debug, Clone, Copy)]
pub struct Plan {
    /// The call that fails, from 0.
    pub fail_at: usize,
    /// How many bytes an append takes before it fails.
    pub bytes: usize,
    /// Whether every call after it fails as well.
    pub for_good: bool,
    /// The error given.
    pub error: io::ErrorKind,
}

/// Counts calls, and says which of them fail.
#[derive(Debug, Default)]
pub struct Fuse(Mutex<(usize, Option<Plan>)>, Mutex<Option<usize>>);

impl Fuse {
    /// From here on an append takes so many bytes at most, and says that it took them all.
    pub fn lie(&self, bytes: Option<usize>) {
        *self.1.lock().unwrap() = bytes;
    }

    /// Lays a plan; calls are counted from now on.
    pub fn set(&self, plan: Option<Plan>) {
        *self.0.lock().unwrap() = (0, plan);
    }
    /// Whether the call at which the plan begins to fail was reached.
    pub fn blown(&self) -> bool {
        let state = self.0.lock().unwrap();
        state.1.is_some_and(|p| state.0 > p.fail_at)
    }
    fn step(&self) -> Option<(usize, io::Error)> {
        let mut state = self.0.lock().unwrap();
        let n = state.0;
        state.0 += 1;
        let plan = state.1?;
        (n == plan.fail_at || (plan.for_good && n > plan.fail_at)).then(|| (plan.bytes, plan.error.into()))
    }
    fn check(&self) -> io::Result<()> {
        self.step().map_or(Ok(()), |(_, e)| Err(e))
    }
}

/// The bytes of one file: as the system sees them, whether each still has to reach the medium, and the medium.
#[derive(Debug, Default, Clone)]
struct Node {
    seen: Vec<u8>,
    dirty: Vec<bool>,
    medium: Vec<u8>,
}

type Shared = Arc<Mutex<Node>>;

#[derive(Debug, Default)]
struct Names {
    seen: BTreeMap<PathBuf, Shared>,
    durable: BTreeMap<PathBuf, Shared>,
}

/// A disk in memory.
#[derive(Debug, Default, Clone)]
pub struct MemoryDisk {
    names: Arc<Mutex<Names>>,
    /// What makes it fail.
    pub fuse: Arc<Fuse>,
}

/// What a power loss leaves of bytes that were not synced.
#[derive(Debug, Clone, Copy)]
pub enum Loss {
    /// So many of them.
    Cut(usize),
    /// Zero bytes in place of so many.
    Nuls(usize),
}

impl MemoryDisk {
    fn names(&self) -> MutexGuard<'_, Names> {
        self.names.lock().unwrap()
    }
    fn node(&self, path: &Path) -> io::Result<Shared> {
        self.names().seen.get(path).cloned().ok_or_else(|| io::ErrorKind::NotFound.into())
    }
    /// The bytes of a file as the system sees them.
    pub fn bytes(&self, path: &Path) -> Option<Vec<u8>> {
        self.node(path).ok().map(|n| n.lock().unwrap().seen.clone())
    }
    /// Puts a file there, durably.
    pub fn put(&self, path: &Path, bytes: &[u8]) {
        let node = Node { seen: bytes.to_vec(), dirty: vec![false; bytes.len()], medium: bytes.to_vec() };
        let node = Arc::new(Mutex::new(node));
        let mut names = self.names();
        names.seen.insert(path.to_owned(), Arc::clone(&node));
        names.durable.insert(path.to_owned(), node);
    }
    /// Every file there is.
    pub fn paths(&self) -> Vec<PathBuf> {
        self.names().seen.keys().cloned().collect()
    }
    /// The disk after the power went. `names_kept` if names reached it that were not synced.
    pub fn after_power_loss(&self, loss: Loss, names_kept: bool) -> MemoryDisk {
        let after = MemoryDisk::default();
        let names = self.names();
        for (path, node) in if names_kept { &names.seen } else { &names.durable } {
            let node = node.lock().unwrap();
            let mut bytes = node.medium.clone();
            let new = node.seen.get(bytes.len()..).unwrap_or_default();
            match loss {
                Loss::Cut(n) => bytes.extend_from_slice(&new[..n.min(new.len())]),
                Loss::Nuls(n) => bytes.resize(bytes.len() + n.min(new.len()), 0),
            }
            after.put(path, &bytes);
        }
        after
    }
}

struct MemoryHandle {
    node: Shared,
    fuse: Arc<Fuse>,
}

impl Storage for MemoryDisk {
    fn create(&self, path: &Path) -> io::Result<Box<dyn StorageFile>> {
        self.fuse.check()?;
        let node = Shared::default();
        let mut names = self.names();
        if names.seen.contains_key(path) {
            return Err(io::ErrorKind::AlreadyExists.into());
        }
        names.seen.insert(path.to_owned(), Arc::clone(&node));
        Ok(Box::new(MemoryHandle { node, fuse: Arc::clone(&self.fuse) }))
    }
    fn open_read(&self, path: &Path) -> io::Result<Box<dyn StorageFile>> {
        self.fuse.check()?;
        Ok(Box::new(MemoryHandle { node: self.node(path)?, fuse: Arc::clone(&self.fuse) }))
    }
    fn open_append(&self, path: &Path) -> io::Result<Box<dyn StorageFile>> {
        self.open_read(path)
    }
    fn remove(&self, path: &Path) -> io::Result<()> {
        self.fuse.check()?;
        self.names().seen.remove(path).map(drop).ok_or_else(|| io::ErrorKind::NotFound.into())
    }
    fn replace(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        self.fuse.check()?;
        self.put(path, bytes);
        Ok(())
    }
    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        self.fuse.check()?;
        let mut names = self.names();
        let inside = |path: &PathBuf| path.parent() == Some(dir);
        let seen: Vec<_> = names.seen.iter().filter(|(p, _)| inside(p)).map(|(p, n)| (p.clone(), n.clone())).collect();
        names.durable.retain(|p, _| !inside(p));
        names.durable.extend(seen);
        Ok(())
    }
}

impl StorageFile for MemoryHandle {
    fn size(&mut self) -> io::Result<u64> {
        self.fuse.check()?;
        Ok(self.node.lock().unwrap().seen.len() as u64)
    }
    fn read_at(&mut self, from: u64, into: &mut [u8]) -> io::Result<usize> {
        self.fuse.check()?;
        let node = self.node.lock().unwrap();
        let rest = node.seen.get(usize::try_from(from).unwrap()..).unwrap_or_default();
        let n = rest.len().min(into.len());
        into[..n].copy_from_slice(&rest[..n]);
        Ok(n)
    }
    fn append(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let failed = self.fuse.step();
        let n = failed.as_ref().map_or(bytes.len(), |(n, _)| (*n).min(bytes.len()));
        let mut node = self.node.lock().unwrap();
        let really = self.fuse.1.lock().unwrap().map_or(n, |most| most.min(n));
        node.seen.extend_from_slice(&bytes[..really]);
        let len = node.seen.len();
        node.dirty.resize(len, true);
        failed.map_or(Ok(n), |(_, e)| Err(e))
    }
    fn set_len(&mut self, len: u64) -> io::Result<()> {
        self.fuse.check()?;
        let mut node = self.node.lock().unwrap();
        let len = usize::try_from(len).unwrap();
        node.seen.resize(len, 0);
        node.dirty.resize(len, true);
        Ok(())
    }
    /// A sync that fails throws away what had to reach the medium, and the next one knows nothing of it.
    fn sync(&mut self) -> io::Result<()> {
        let failed = self.fuse.check();
        let mut node = self.node.lock().unwrap();
        if failed.is_ok() {
            let len = node.seen.len();
            node.medium.resize(len, 0);
            for i in 0..len {
                if node.dirty[i] {
                    node.medium[i] = node.seen[i];
                }
            }
        }
        node.dirty.fill(false);
        failed
    }
}

/// Another disk with a fuse before it.
#[derive(Debug)]
pub struct FusedDisk {
    /// The disk.
    pub disk: Arc<dyn Storage>,
    /// What makes it fail.
    pub fuse: Arc<Fuse>,
}

struct FusedHandle {
    handle: Box<dyn StorageFile>,
    fuse: Arc<Fuse>,
}

impl FusedDisk {
    fn fused(&self, handle: Box<dyn StorageFile>) -> Box<dyn StorageFile> {
        Box::new(FusedHandle { handle, fuse: Arc::clone(&self.fuse) })
    }
}

impl Storage for FusedDisk {
    fn create(&self, path: &Path) -> io::Result<Box<dyn StorageFile>> {
        self.fuse.check()?;
        Ok(self.fused(self.disk.create(path)?))
    }
    fn open_read(&self, path: &Path) -> io::Result<Box<dyn StorageFile>> {
        self.fuse.check()?;
        Ok(self.fused(self.disk.open_read(path)?))
    }
    fn open_append(&self, path: &Path) -> io::Result<Box<dyn StorageFile>> {
        self.fuse.check()?;
        Ok(self.fused(self.disk.open_append(path)?))
    }
    fn remove(&self, path: &Path) -> io::Result<()> {
        self.fuse.check()?;
        self.disk.remove(path)
    }
    fn replace(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        self.fuse.check()?;
        self.disk.replace(path, bytes)
    }
    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        self.fuse.check()?;
        self.disk.sync_dir(dir)
    }
}

impl StorageFile for FusedHandle {
    fn size(&mut self) -> io::Result<u64> {
        self.fuse.check()?;
        self.handle.size()
    }
    fn read_at(&mut self, from: u64, into: &mut [u8]) -> io::Result<usize> {
        self.fuse.check()?;
        self.handle.read_at(from, into)
    }
    fn append(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match self.fuse.step() {
            None => self.handle.append(bytes),
            Some((n, e)) => self.handle.append(&bytes[..n.min(bytes.len())]).and(Err(e)),
        }
    }
    fn set_len(&mut self, len: u64) -> io::Result<()> {
        self.fuse.check()?;
        self.handle.set_len(len)
    }
    fn sync(&mut self) -> io::Result<()> {
        self.fuse.check()?;
        self.handle.sync()
    }
}
