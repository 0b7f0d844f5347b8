#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <sys/types.h>
#include <vector>

namespace slotwitness::twins {

/// A small SSH server of another house than OpenSSH: Debian's dropbear-bin, on a free port of
/// 127.0.0.1, which lets in the account that runs the test by key. That account's home, shell
/// start-up file and authorized key are ours, told by libnss-wrapper to this server alone.
/// Everything goes with the object.
class Dropbear {
  public:
    /// Why none can be started here; nothing if one can. For GTEST_SKIP.
    [[nodiscard]] static std::optional<std::string> missing();
    struct Setup {
        std::string host_key_type = "ed25519"; ///< as `dropbearkey -t` names it
        std::string profile;                   ///< what a login shell reads first
        std::vector<std::string> more;         ///< further words of its command line
    };
    /// Returns when it serves. Aborts the test program with its log otherwise.
    [[nodiscard]] static std::unique_ptr<Dropbear> start(const Setup& setup);
    ~Dropbear();
    Dropbear(const Dropbear&) = delete;
    Dropbear& operator=(const Dropbear&) = delete;

    [[nodiscard]] std::uint16_t port() const { return port_; }
    [[nodiscard]] std::string key_file() const { return directory_ / "client_key"; }
    [[nodiscard]] std::string other_key_file() const { return directory_ / "other_key"; }
    [[nodiscard]] std::string known_hosts_file() const { return directory_ / "known_hosts"; }
    [[nodiscard]] std::string log() const;

  private:
    Dropbear() = default;

    std::filesystem::path directory_;
    std::uint16_t port_ = 0;
    pid_t process_ = -1;
};

} // namespace slotwitness::twins
