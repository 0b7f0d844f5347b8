#pragma once

#include <slotwitness/chassis/faults.hpp>
#include <slotwitness/chassis/login_shell.hpp>

#include <libssh/callbacks.h>
#include <libssh/libssh.h>

#include <chrono>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

namespace slotwitness::chassis {

/// One session channel: it runs one command and closes, or is a login shell on a terminal. The
/// library's callbacks only note what came; `advance`, called outside of them, does the work. Never
/// blocks.
class SessionChannel {
  public:
    using Instant = std::chrono::steady_clock::time_point;
    struct Doings {
        std::function<Delivery(const std::string& command)> ask;
        /// Every request that arrives: its type, its bytes.
        std::function<void(std::string_view type, std::string_view bytes)> record;
        std::string shell; ///< the name of the chassis that has login shells; empty: it has none
    };

    /// Takes the channel, which may be null if the session can have no more: then `handle()` is
    /// null.
    SessionChannel(ssh_channel channel, const Doings& doings);
    ~SessionChannel();
    SessionChannel(const SessionChannel&) = delete;
    SessionChannel& operator=(const SessionChannel&) = delete;

    [[nodiscard]] ssh_channel handle() const { return channel_; }

    /// Leaves the channel to its session, which is about to be freed: closing it would still tell
    /// the peer.
    void abandon();

    enum class Progress {
        waiting,  ///< for the peer, or for the time `due()`
        finished, ///< nothing more will happen: it can be destroyed
        drop,     ///< the session is to be dropped as soon as its bytes have left
    };
    [[nodiscard]] Progress advance(Instant now);
    /// What the chassis says unasked: a shell shows it.
    void remark(std::string_view text);
    /// When it will go on by itself.
    [[nodiscard]] std::optional<Instant> due() const { return due_; }

  private:
    static int on_exec(ssh_session, ssh_channel, const char* command, void* self);
    static int on_data(ssh_session, ssh_channel, void* data, uint32_t size, int is_stderr,
                       void* self);
    static int on_terminal(ssh_session, ssh_channel, const char* kind, int columns, int rows, int,
                           int, void* self);
    static int on_shell(ssh_session, ssh_channel, void* self);
    static void on_close(ssh_session, ssh_channel, void* self);

    [[nodiscard]] Progress advance_command(Instant now);
    [[nodiscard]] Progress advance_shell(Instant now);
    [[nodiscard]] bool is_answered(const std::string& command, Instant now);
    [[nodiscard]] Progress end(std::optional<int> status);
    [[nodiscard]] bool write_all(const std::string& text, std::size_t& sent, bool to_stderr);

    ssh_channel channel_;
    const Doings& doings_;
    ssh_channel_callbacks_struct callbacks_{};
    std::optional<std::string> command_;
    std::optional<Delivery> delivery_;
    std::optional<Instant> due_;
    std::size_t out_sent_ = 0;
    std::size_t err_sent_ = 0;
    std::optional<LoginShell> shell_;
    std::string typed_;   ///< for the shell, not yet heard
    std::string shown_;   ///< by the shell; `out_sent_` of it have left
    bool breaks_ = false; ///< the shell's last answer broke off
    bool drops_ = false;  ///< and the session with it
    bool closed_;
};

} // namespace slotwitness::chassis
