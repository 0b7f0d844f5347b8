#pragma once

#include <tl/expected.hpp>

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <sys/types.h>
#include <vector>

namespace slotwitness::twins {

/// A private OpenSSH server (Debian's openssh-server) on a port of loopback: own directory,
/// configuration, host keys, log. It lets in the account that runs the test, by key alone, and
/// makes no account. Everything goes with the object.
class Sshd {
  public:
    struct Setup {
        std::optional<std::string> forced_command; ///< for `ForceCommand`
        std::optional<std::string> key_command; ///< `command="…"` in front of the authorized key
        std::string address = "127.0.0.1";      ///< of loopback
        std::optional<std::uint16_t> port;      ///< a free one if left out
        std::vector<std::string> host_key_types{"ed25519"}; ///< as `ssh-keygen -t` names them
        std::vector<std::string> more;                      ///< further lines of sshd_config
        /// The account's password, checked by PAM inside this server alone (Debian:
        /// libpam-wrapper); the methods are for `more` to allow.
        std::optional<std::string> password;
    };

    /// Why no server can be started here; nothing if one can. For GTEST_SKIP.
    [[nodiscard]] static std::optional<std::string> missing();
    /// The same of a server with passwords.
    [[nodiscard]] static std::optional<std::string> missing_passwords();
    /// Returns when the server greets. Aborts the test program with the server's log otherwise.
    [[nodiscard]] static std::unique_ptr<Sshd> start(Setup setup);
    [[nodiscard]] static std::unique_ptr<Sshd> start() { return start(Setup{}); }
    ~Sshd();
    Sshd(const Sshd&) = delete;
    Sshd& operator=(const Sshd&) = delete;

    [[nodiscard]] std::uint16_t port() const { return port_; }
    [[nodiscard]] const std::filesystem::path& directory() const { return directory_; }
    [[nodiscard]] std::string key_file() const { return directory_ / "client_key"; }
    /// Of a key that the server does not let in.
    [[nodiscard]] std::string other_key_file() const { return directory_ / "other_key"; }
    [[nodiscard]] std::string known_hosts_file() const { return directory_ / "known_hosts"; }
    /// The public part of a host key, as ssh-keygen wrote it.
    [[nodiscard]] std::string host_key_file(const std::string& type) const;
    [[nodiscard]] static std::string user();
    [[nodiscard]] std::string log() const;

    /// Kills the server's processes of sessions; the listening one goes on. Returns how many it
    /// killed.
    std::size_t kill_sessions();
    /// Stops the server; new connections to its port are refused from then on.
    void stop();
    /// Starts it again on the same port, with new host keys if asked.
    void start_again(bool with_new_host_keys);

  private:
    explicit Sshd(Setup setup);
    void make_keys(bool host_keys_only);
    void write_known_hosts() const;
    [[nodiscard]] bool launch();
    [[nodiscard]] std::vector<std::string> with_passwords() const;
    [[noreturn]] void give_up(const std::string& why) const;

    Setup setup_;
    std::filesystem::path directory_;
    std::uint16_t port_ = 0;
    pid_t process_ = -1;
};

/// Puts an RSA key there, and its public half beside it. Such a key takes long to find, so that all
/// of a test program's are the same one.
void put_rsa_key(const std::filesystem::path& file);

/// Runs a program to its end and returns what it printed. Aborts the test program if it fails.
std::string output_of(const std::vector<std::string>& command);

} // namespace slotwitness::twins
