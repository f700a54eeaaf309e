//! Every reader of outside input takes every file of its corpus in `fuzz/corpus` without a panic.

#[path = "../../../../fuzz/readers.rs"]
mod readers;

use crate::support::root;

#[test]
fn every_reader_takes_its_corpus() {
    for (target, read) in readers::READERS {
        let corpus = root().join("fuzz/corpus").join(target);
        let mut count = 0;
        for entry in
            std::fs::read_dir(&corpus).unwrap_or_else(|error| panic!("{}: {error}", corpus.display()))
        {
            read(&std::fs::read(entry.unwrap().path()).unwrap());
            count += 1;
        }
        assert!(count >= 5, "{target} has {count} files");
    }
}

#[test]
fn every_fuzz_target_has_a_reader() {
    let mut targets: Vec<String> = std::fs::read_dir(root().join("fuzz/fuzz_targets"))
        .unwrap()
        .map(|entry| {
            entry
                .unwrap()
                .path()
                .file_stem()
                .unwrap()
                .to_str()
                .unwrap()
                .to_string()
        })
        .collect();
    targets.sort();
    let mut readers: Vec<&str> = readers::READERS.iter().map(|(target, _)| *target).collect();
    readers.sort_unstable();
    assert_eq!(targets, readers);
}

/// Cuts every corpus file short at every tenth byte and turns bytes over, by a fixed rule.
#[test]
fn readers_take_spoilt_copies_of_their_corpus() {
    for (target, read) in readers::READERS {
        for entry in std::fs::read_dir(root().join("fuzz/corpus").join(target)).unwrap() {
            let whole = std::fs::read(entry.unwrap().path()).unwrap();
            for cut in (0..whole.len()).step_by(whole.len() / 40 + 1) {
                read(&whole[..cut]);
                let mut spoilt = whole.clone();
                spoilt[cut] ^= 0x15;
                read(&spoilt);
                spoilt.remove(cut);
                read(&spoilt);
            }
        }
    }
}
