#pragma once

#include "process.hpp"

#include <memory>
#include <string>
#include <vector>

namespace slotwitness::live {

/// A network namespace of our own, held open by a process, with a pair of ports in it, swv0 and
/// swv1, both up.
class Namespace {
  public:
    /// Nothing if this machine gives no rights for it; `why` then says so.
    static std::unique_ptr<Namespace> make(const std::string& errors_to, std::string& why);
    /// What enters it, in front of a command.
    [[nodiscard]] std::vector<std::string> door() const;
    [[nodiscard]] Ran inside(const std::string& command) const;

  private:
    explicit Namespace(const std::string& errors_to);
    Process holder_;
};

} // namespace slotwitness::live
