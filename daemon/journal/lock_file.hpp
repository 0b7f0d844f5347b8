#pragma once

#include "store.hpp"

#include <tl/expected.hpp>

#include <string>

namespace slotwitness::journal {

/// Held by the one process that writes a journal: a file beside it, locked with flock(2), so that
/// the kernel lets go of it however the process ends. (A lock on the journal itself would not do:
/// closing any descriptor of that file drops the locks by which SQLite guards it.)
class LockFile {
  public:
    /// The error names the process that holds it.
    [[nodiscard]] static tl::expected<LockFile, StoreError> take(const std::string& journal);

    LockFile(const LockFile&) = delete;
    LockFile& operator=(const LockFile&) = delete;
    LockFile(LockFile&& other) noexcept;
    LockFile& operator=(LockFile&&) = delete;
    ~LockFile();

  private:
    explicit LockFile(int descriptor) : descriptor_(descriptor) {}
    int descriptor_;
};

} // namespace slotwitness::journal
