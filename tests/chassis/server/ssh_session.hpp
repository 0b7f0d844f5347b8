#pragma once

#include "keys.hpp"
#include "session_channel.hpp"

#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/steady_timer.hpp>
#include <libssh/callbacks.h>
#include <libssh/libssh.h>
#include <libssh/server.h>

#include <functional>
#include <list>
#include <memory>
#include <vector>

namespace slotwitness::chassis {

struct FreeSession {
    void operator()(ssh_session session) const { ssh_free(session); }
};
using SessionHandle = std::unique_ptr<ssh_session_struct, FreeSession>;

/// One SSH connection, from the banner to its end. All of it runs on the thread of the io_context,
/// and no call blocks: the library is called again whenever its descriptor or a timer is ready.
class SshSession : public std::enable_shared_from_this<SshSession> {
  public:
    struct Doings {
        SessionChannel::Doings channel;
        std::function<bool(const ssh_key_struct* key)> accepts_key;
        std::function<void()> ended;
    };

    /// Takes an accepted session.
    SshSession(boost::asio::io_context& io, SessionHandle handle, Doings doings);

    /// False if its descriptor cannot be watched.
    [[nodiscard]] bool start();
    /// Ends it now, without a word to the peer.
    void drop();
    /// What the chassis says unasked.
    void remark(const std::string& text);

  private:
    static int on_public_key(ssh_session, const char* user, ssh_key_struct* key, char state,
                             void* self);
    static ssh_channel on_open(ssh_session, void* self);
    static int on_message(ssh_session, ssh_message message, void* self);

    void pump();
    [[nodiscard]] bool talk();
    [[nodiscard]] bool dead() const;
    void advance_channels();
    void arm();
    void arm_timer();
    void end();

    SessionHandle handle_;
    Doings doings_;
    ssh_server_callbacks_struct callbacks_{};
    boost::asio::posix::stream_descriptor watched_;
    boost::asio::steady_timer due_;
    boost::asio::steady_timer grace_;
    std::list<SessionChannel> channels_;
    bool keys_exchanged_ = false;
    bool reading_ = false;
    bool writing_ = false;
    bool dropping_ = false;
    bool ended_ = false;
};

} // namespace slotwitness::chassis
