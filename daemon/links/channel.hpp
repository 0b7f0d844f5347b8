#pragma once

#include "link.hpp"

#include <memory>
#include <string_view>
#include <utility>

struct ssh_channel_struct;
struct ssh_channel_callbacks_struct;

namespace slotwitness::links {

class Session;

/// One channel: of a command, of a subsystem, or of a shell. libssh's callbacks gather what
/// arrives, so that nothing is lost when data and the end of the session arrive together. Owned by
/// its session; after the session's end only what has been gathered may be asked.
class Channel {
  public:
    Channel(Session& session, std::size_t longest_answer);
    ~Channel();
    Channel(const Channel&) = delete;
    Channel& operator=(const Channel&) = delete;

    /// libssh's result; to be repeated while it is SSH_AGAIN.
    [[nodiscard]] int open();
    [[nodiscard]] int exec(const std::string& request);
    [[nodiscard]] int subsystem(const std::string& name);
    /// A terminal so wide, which does nothing with escapes.
    [[nodiscard]] int terminal(std::size_t columns);
    [[nodiscard]] int shell();
    /// How many bytes were taken, 0 if the device takes none now; negative on error.
    [[nodiscard]] int write(std::string_view bytes);
    /// What arrives from now on is dropped.
    void retire() { retired_ = true; }
    /// One step of an orderly close; true when both sides have closed and the channel is freed.
    [[nodiscard]] bool close_further();
    /// The session ends: frees the channel without a word to the peer.
    void abandon();

    /// Something of the command came back, so the device ran it.
    [[nodiscard]] bool ran() const;
    [[nodiscard]] bool complete() const;
    [[nodiscard]] bool too_long() const { return too_long_; }
    [[nodiscard]] bool closed() const { return closed_; }
    [[nodiscard]] const std::string& signal() const { return signal_; }
    [[nodiscard]] Answer take() { return std::move(answer_); }
    [[nodiscard]] const Answer& answer() const { return answer_; }
    /// The output that came since the last call; for a channel that is spoken to more than once.
    [[nodiscard]] std::string take_arrived() { return std::exchange(answer_.bytes, {}); }
    /// Nothing is expected of the device now, so its silence says nothing.
    [[nodiscard]] bool resting() const { return resting_; }
    void rest(bool is_resting) { resting_ = is_resting; }

  private:
    struct Callbacks;
    void free();

    Answer answer_;
    std::string signal_;
    std::size_t longest_;
    bool closed_ = false;
    bool too_long_ = false;
    bool opening_ = false;
    bool retired_ = false;
    bool resting_ = false;
    bool close_sent_ = false;
    std::unique_ptr<ssh_channel_callbacks_struct> callbacks_;
    ssh_channel_struct* raw_ = nullptr;
};

/// Asks one query on a channel of its own. `session` is serving.
[[nodiscard]] boost::asio::awaitable<tl::expected<Answer, LinkError>>
exec(std::shared_ptr<Session> session, ApprovedQuery query, Limits limits);

} // namespace slotwitness::links
