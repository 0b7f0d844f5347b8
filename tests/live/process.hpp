#pragma once

#include <optional>
#include <string>
#include <sys/types.h>
#include <vector>

namespace slotwitness::live {

/// A program under test. It does not outlive this: the destructor kills it.
class Process {
  public:
    /// Standard output comes through `next_line`; standard error goes to the file.
    Process(std::vector<std::string> command, const std::string& errors_to);
    ~Process();
    Process(const Process&) = delete;
    Process& operator=(const Process&) = delete;

    /// The next line of standard output; waits for it. Nothing once the program has closed it.
    [[nodiscard]] std::optional<std::string> next_line();
    void signal(int number) const;
    /// Waits for the end: the exit status, or 128 + the signal.
    int wait();
    /// Whether the system made a core of it, once it has ended.
    [[nodiscard]] bool left_core() const { return left_core_; }
    [[nodiscard]] pid_t pid() const { return pid_; }

  private:
    pid_t pid_ = -1;
    int output_ = -1;
    std::string pending_;
    std::optional<int> status_;
    bool left_core_ = false;
};

struct Ran {
    int status = 0;
    std::string output; ///< standard output and standard error together
};
/// Runs a program to its end.
[[nodiscard]] Ran run(const std::vector<std::string>& command);

} // namespace slotwitness::live
