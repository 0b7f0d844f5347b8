#pragma once

#include <slotwitness/chassis/faults.hpp>

#include <libssh/callbacks.h>
#include <libssh/libssh.h>

#include <chrono>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

namespace slotwitness::chassis {

/// One session channel: it runs one command and closes. The library's callbacks only note what
/// came; `advance`, called outside of them, does the work. Never blocks.
class ExecChannel {
  public:
    using Instant = std::chrono::steady_clock::time_point;
    struct Doings {
        std::function<Delivery(const std::string& command)> ask;
        /// Every request that arrives: its type, its bytes.
        std::function<void(std::string_view type, std::string_view bytes)> record;
    };

    /// Takes the channel, which may be null if the session can have no more: then `handle()` is
    /// null.
    ExecChannel(ssh_channel channel, const Doings& doings);
    ~ExecChannel();
    ExecChannel(const ExecChannel&) = delete;
    ExecChannel& operator=(const ExecChannel&) = delete;

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
    /// When it will go on by itself.
    [[nodiscard]] std::optional<Instant> due() const { return due_; }

  private:
    static int on_exec(ssh_session, ssh_channel, const char* command, void* self);
    static int on_data(ssh_session, ssh_channel, void* data, uint32_t size, int is_stderr,
                       void* self);
    static void on_close(ssh_session, ssh_channel, void* self);

    [[nodiscard]] bool write_all(const std::string& text, std::size_t& sent, bool to_stderr);

    ssh_channel channel_;
    const Doings& doings_;
    ssh_channel_callbacks_struct callbacks_{};
    std::optional<std::string> command_;
    std::optional<Delivery> delivery_;
    std::optional<Instant> due_;
    std::size_t out_sent_ = 0;
    std::size_t err_sent_ = 0;
    bool closed_;
};

} // namespace slotwitness::chassis
