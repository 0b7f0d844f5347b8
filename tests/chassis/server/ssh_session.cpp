#include "ssh_session.hpp"

#include <algorithm>
#include <chrono>
#include <fcntl.h>
#include <string>
#include <unistd.h>

namespace slotwitness::chassis {
namespace {

namespace asio = boost::asio;

constexpr std::chrono::seconds login_grace{60};
constexpr std::size_t most_channels = 16;

bool set_nonblocking(int descriptor) {
    const int flags = ::fcntl(descriptor, F_GETFL);
    return flags >= 0 && ::fcntl(descriptor, F_SETFL, flags | O_NONBLOCK) == 0;
}

std::string text_or_nothing(const char* text) {
    return text ? text : "";
}

} // namespace

SshSession::SshSession(asio::io_context& io, SessionHandle handle, Doings doings)
    : handle_(std::move(handle)), doings_(std::move(doings)), watched_(io), due_(io), grace_(io) {
    callbacks_.userdata = this;
    callbacks_.auth_pubkey_function = on_public_key;
    callbacks_.channel_open_request_session_function = on_open;
    ssh_callbacks_init(&callbacks_);
    ssh_set_server_callbacks(handle_.get(), &callbacks_);
    ssh_set_message_callback(handle_.get(), on_message, this);
    ssh_set_auth_methods(handle_.get(), SSH_AUTH_METHOD_PUBLICKEY);
    ssh_set_blocking(handle_.get(), 0);
}

bool SshSession::start() {
    const int descriptor = ssh_get_fd(handle_.get());
    // A descriptor of our own: the library closes its one when it sees fit.
    const int watched = ::fcntl(descriptor, F_DUPFD_CLOEXEC, 0);
    if (watched < 0)
        return false;
    watched_.assign(watched);
    if (!set_nonblocking(descriptor))
        return false;
    grace_.expires_after(login_grace);
    grace_.async_wait([self = shared_from_this()](const boost::system::error_code& error) {
        if (!error)
            self->drop();
    });
    pump();
    return true;
}

int SshSession::on_public_key(ssh_session, const char* user, ssh_key_struct* key, char state,
                              void* self) {
    auto& session = *static_cast<SshSession*>(self);
    session.doings_.channel.record("auth", text_or_nothing(user));
    const bool proven = state == SSH_PUBLICKEY_STATE_VALID;
    if ((!proven && state != SSH_PUBLICKEY_STATE_NONE) || !session.doings_.accepts_key(key))
        return SSH_AUTH_DENIED;
    if (proven)
        session.grace_.cancel();
    return SSH_AUTH_SUCCESS;
}

ssh_channel SshSession::on_open(ssh_session handle, void* self) {
    auto& session = *static_cast<SshSession*>(self);
    session.doings_.channel.record("channel", "session");
    if (session.channels_.size() >= most_channels)
        return nullptr;
    return session.channels_.emplace_back(ssh_channel_new(handle), session.doings_.channel)
        .handle();
}

int SshSession::on_message(ssh_session, ssh_message message, void* self) {
    const auto& record = static_cast<SshSession*>(self)->doings_.channel.record;
    switch (ssh_message_type(message)) {
    case SSH_REQUEST_AUTH:
        record("auth", text_or_nothing(ssh_message_auth_user(message)));
        break;
    case SSH_REQUEST_CHANNEL_OPEN:
        record("channel", "refused");
        break;
    case SSH_REQUEST_CHANNEL:
        switch (ssh_message_subtype(message)) {
        case SSH_CHANNEL_REQUEST_SHELL:
            record("shell", "");
            break;
        case SSH_CHANNEL_REQUEST_SUBSYSTEM:
            record("subsystem", text_or_nothing(ssh_message_channel_request_subsystem(message)));
            break;
        case SSH_CHANNEL_REQUEST_ENV:
            record("env", text_or_nothing(ssh_message_channel_request_env_name(message)) + "=" +
                              text_or_nothing(ssh_message_channel_request_env_value(message)));
            break;
        case SSH_CHANNEL_REQUEST_PTY:
            record("pty", "");
            break;
        default:
            record("channel-request", "");
            break;
        }
        break;
    case SSH_REQUEST_SERVICE:
        record("service", text_or_nothing(ssh_message_service_service(message)));
        break;
    default:
        record("global", "");
        break;
    }
    // 1: the library answers as it does by default, which refuses all but a service.
    return 1;
}

void SshSession::pump() {
    if (ended_)
        return;
    if (!talk() || dead()) {
        end();
        return;
    }
    advance_channels();
    const bool bytes_left = (ssh_get_poll_flags(handle_.get()) & SSH_WRITE_PENDING) != 0;
    if (dead() || (dropping_ && !bytes_left)) {
        end();
        return;
    }
    arm();
}

bool SshSession::talk() {
    if (!keys_exchanged_) {
        const int result = ssh_handle_key_exchange(handle_.get());
        if (result == SSH_AGAIN)
            return true;
        // The library may have made its descriptor blocking again.
        if (result != SSH_OK || !set_nonblocking(ssh_get_fd(handle_.get())))
            return false;
        keys_exchanged_ = true;
    }
    // Takes what has come and calls the callbacks; its result does not tell of errors.
    ssh_execute_message_callbacks(handle_.get());
    return true;
}

bool SshSession::dead() const {
    return (ssh_get_status(handle_.get()) & (SSH_CLOSED | SSH_CLOSED_ERROR)) != 0 ||
           ssh_get_fd(handle_.get()) < 0;
}

void SshSession::advance_channels() {
    const auto now = std::chrono::steady_clock::now();
    for (auto channel = channels_.begin(); channel != channels_.end() && !dead();) {
        switch (channel->advance(now)) {
        case SessionChannel::Progress::waiting:
            ++channel;
            break;
        case SessionChannel::Progress::finished:
            channel = channels_.erase(channel);
            break;
        case SessionChannel::Progress::drop:
            dropping_ = true;
            ++channel;
            break;
        }
    }
}

void SshSession::arm() {
    if (!reading_) {
        reading_ = true;
        watched_.async_wait(asio::posix::stream_descriptor::wait_read,
                            [self = shared_from_this()](const boost::system::error_code& error) {
                                self->reading_ = false;
                                if (!error)
                                    self->pump();
                            });
    }
    if (!writing_ && (ssh_get_poll_flags(handle_.get()) & SSH_WRITE_PENDING) != 0) {
        writing_ = true;
        watched_.async_wait(asio::posix::stream_descriptor::wait_write,
                            [self = shared_from_this()](const boost::system::error_code& error) {
                                self->writing_ = false;
                                if (!error)
                                    self->pump();
                            });
    }
    arm_timer();
}

void SshSession::arm_timer() {
    std::optional<SessionChannel::Instant> earliest;
    for (const auto& channel : channels_)
        if (const auto due = channel.due(); due && (!earliest || *due < *earliest))
            earliest = due;
    if (!earliest)
        return;
    due_.expires_at(*earliest);
    due_.async_wait([self = shared_from_this()](const boost::system::error_code& error) {
        if (!error)
            self->pump();
    });
}

void SshSession::drop() {
    end();
}

void SshSession::remark(const std::string& text) {
    for (auto& channel : channels_)
        channel.remark(text);
    pump();
}

void SshSession::end() {
    if (ended_)
        return;
    ended_ = true;
    boost::system::error_code ignored;
    due_.cancel();
    grace_.cancel();
    watched_.close(ignored);
    for (auto& channel : channels_)
        channel.abandon();
    channels_.clear();
    ssh_silent_disconnect(handle_.get());
    doings_.ended();
}

} // namespace slotwitness::chassis
