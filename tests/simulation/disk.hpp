#pragma once

#include <slotwitness/journal/store.hpp>

#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::simulation {

/// A disk with a journal on it: it outlives the process that writes it, and can be full.
class Disk {
  public:
    Disk();

    /// The journal as a process that begins now finds it. What the last process was told to have
    /// failed may be there after all (journal::Store::append); `found` is that entry's line, if so.
    [[nodiscard]] std::unique_ptr<journal::Store> open();
    [[nodiscard]] const std::string& found() const { return found_; }
    /// The process is gone: nothing that it still does reaches the disk.
    void kill();

    /// `keeps`: it keeps the last entry that it could not confirm.
    void fill(bool keeps);
    void empty();
    [[nodiscard]] bool is_full() const;

    [[nodiscard]] const std::vector<journal::Entry>& entries(const std::string& chassis) const;
    /// The heads of all chains and the digests of all answers in one: equal journals, equal text.
    [[nodiscard]] std::string digest() const;

    struct State;

  private:
    std::shared_ptr<State> state_;
    std::string found_;
};

} // namespace slotwitness::simulation
