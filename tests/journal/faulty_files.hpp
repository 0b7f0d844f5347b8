#pragma once

#include <string>
#include <vector>

namespace slotwitness::journal::test {

/// SQLite's files with faults on order: a VFS (https://www.sqlite.org/vfs.html) over the usual one.
/// While an object lives it is the default one, so that a store opened meanwhile uses it. One at a
/// time.
class FaultyFiles {
  public:
    enum class Fault {
        io_error, ///< the call fails with the SQLITE_IOERR_… of its kind
        full,     ///< a write stores half of its bytes and fails with SQLITE_FULL
        kill,     ///< the process gets SIGKILL before the call
        tear,     ///< a write stores half of its bytes, then the process gets SIGKILL
    };

    FaultyFiles();
    ~FaultyFiles();
    FaultyFiles(const FaultyFiles&) = delete;
    FaultyFiles& operator=(const FaultyFiles&) = delete;

    /// Call number `call` from now on (the first is 0) meets the fault; all later ones too if
    /// `lasting`. Only the calls that can meet it are counted: for `full` and `tear` the writes.
    void arm(Fault fault, long call, bool lasting = false);
    void disarm();
    /// Whether an armed fault has come about.
    [[nodiscard]] bool struck() const;

    struct Call {
        std::string name; ///< "write", "sync", …
        std::string file; ///< its path
    };
    /// Every call since the object was made.
    [[nodiscard]] const std::vector<Call>& calls() const;
};

} // namespace slotwitness::journal::test
