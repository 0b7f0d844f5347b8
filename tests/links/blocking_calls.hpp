#pragma once

#include <string>
#include <vector>

namespace slotwitness::links::test {

/// Records, while it lives, each call of this thread that could block it: this program stands
/// between libssh and the C library for poll, select, sleeping, name look-ups, processes, and reads
/// and writes of blocking sockets. Opened files are recorded apart.
class BlockingCalls {
  public:
    BlockingCalls();
    ~BlockingCalls();
    BlockingCalls(const BlockingCalls&) = delete;
    BlockingCalls& operator=(const BlockingCalls&) = delete;

    [[nodiscard]] const std::vector<std::string>& seen() const;
    [[nodiscard]] const std::vector<std::string>& files() const;
    /// All watched calls, blocking or not: zero means that nothing stood in between.
    [[nodiscard]] std::size_t calls() const;
};

} // namespace slotwitness::links::test
