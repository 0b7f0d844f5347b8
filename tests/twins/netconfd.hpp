#pragma once

#include "sshd.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace slotwitness::twins {

/// A NETCONF server that nobody here wrote: Debian's netconfd with ietf-hardware and, if wanted,
/// its module that tells the ports of a Linux host, behind a private OpenSSH server whose subsystem
/// netconf it is. Everything goes with the object.
class Netconfd {
  public:
    /// Why none can be started here; nothing if one can. For GTEST_SKIP.
    [[nodiscard]] static std::optional<std::string> missing();
    struct Setup {
        std::string hardware; ///< the components that it starts with, as elements of ietf-hardware
        bool interfaces = false;       ///< it tells its host's ports too, by ietf-interfaces
        std::vector<std::string> door; ///< in front of its command: what enters a namespace
    };
    /// Returns when it serves. Aborts the test program with its log otherwise.
    [[nodiscard]] static std::unique_ptr<Netconfd> start(const Setup& setup);
    ~Netconfd();
    Netconfd(const Netconfd&) = delete;
    Netconfd& operator=(const Netconfd&) = delete;

    [[nodiscard]] const Sshd& sshd() const { return *sshd_; }
    /// Changes these components from outside, as another client: OpenSSH's. Returns what the server
    /// answered.
    std::string edit(const std::string& hardware) const;

  private:
    explicit Netconfd(std::unique_ptr<Sshd> sshd) : sshd_(std::move(sshd)) {}

    std::filesystem::path directory_;
    std::unique_ptr<Sshd> sshd_;
    pid_t process_ = -1;
};

} // namespace slotwitness::twins
