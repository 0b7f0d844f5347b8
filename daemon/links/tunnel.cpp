#include "tunnel.hpp"

#include <libssh/callbacks.h>
#include <libssh/libssh.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <string_view>
#include <sys/socket.h>
#include <utility>

namespace slotwitness::links {

namespace asio = boost::asio;

namespace {

/// A traveller reads all the time; who leaves so much lying about is not bounded by its windows.
constexpr std::size_t most_inbound = 4 << 20;

/// libssh's "… error (1) words of the peer", with the reason in the place of its number (RFC 4254,
/// section 5.1).
std::string without_numbers(const std::string& complaint) {
    constexpr std::string_view mark = " error (";
    const auto at = complaint.find(mark);
    const auto end = complaint.find(") ", at == std::string::npos ? 0 : at);
    if (at == std::string::npos || end != at + mark.size() + 1) {
        return complaint;
    }
    const std::string words = complaint.substr(end + 2);
    switch (complaint[at + mark.size()]) {
    case '1':
        return "administratively prohibited: " + words;
    case '2':
        return "connect failed: " + words;
    case '4':
        return "resource shortage: " + words;
    default:
        return words;
    }
}

} // namespace

struct Tunnel::Callbacks {
    static Tunnel& of(void* self) { return *static_cast<Tunnel*>(self); }

    static int data(ssh_session, ssh_channel, void* bytes, std::uint32_t length, int is_errors,
                    void* self) {
        auto& tunnel = of(self);
        // The device's first words may come with the grant, before anybody has taken the far end.
        if (is_errors == 0 && (tunnel.state_ == State::opening || tunnel.state_ == State::open)) {
            tunnel.inbound_.append(static_cast<const char*>(bytes), length);
            tunnel.push_in();
        }
        return static_cast<int>(length);
    }
    static void end_of_output(ssh_session, ssh_channel, void* self) {
        of(self).ended_ = true;
        of(self).push_in();
    }
    static void close(ssh_session, ssh_channel, void* self) {
        of(self).closed_by_peer_ = true;
        of(self).ended_ = true;
        of(self).push_in();
    }
};

Tunnel::Tunnel(Session& bastion, std::weak_ptr<Session> traveller, std::string host,
               std::uint16_t port)
    : bastion_(&bastion), traveller_(std::move(traveller)), host_(std::move(host)), port_(port),
      near_(bastion.executor()), callbacks_(std::make_unique<ssh_channel_callbacks_struct>()),
      raw_(ssh_channel_new(bastion.ssh())) {
    callbacks_->userdata = this;
    callbacks_->channel_data_function = Callbacks::data;
    callbacks_->channel_eof_function = Callbacks::end_of_output;
    callbacks_->channel_close_function = Callbacks::close;
    ssh_callbacks_init(callbacks_.get());
    if (raw_ != nullptr) {
        ssh_set_channel_callbacks(raw_, callbacks_.get());
    }
}

Tunnel::~Tunnel() {
    free();
}

asio::awaitable<tl::expected<Stream, LinkError>> Tunnel::open(std::shared_ptr<Session> bastion,
                                                              std::shared_ptr<Session> traveller,
                                                              std::string host, std::uint16_t port,
                                                              Deadline deadline) {
    const auto tunnel = std::make_shared<Tunnel>(*bastion, traveller, std::move(host), port);
    bastion->take_in(tunnel);
    // Whatever ends the wait, a channel that is still to be opened must be closed in its turn.
    struct GiveUp {
        std::shared_ptr<Tunnel> tunnel;
        ~GiveUp() { tunnel->given_up_ = tunnel->given_up_ || !tunnel->near_.is_open(); }
    };
    const GiveUp give_up{tunnel};
    bastion->pump(); // asks for the channel
    for (;;) {
        if (!traveller->alive()) {
            co_return tl::unexpected(traveller->why());
        }
        if (tunnel->state_ == State::open) {
            co_return tunnel->take_far_end();
        }
        if (tunnel->state_ != State::opening) {
            co_return tl::unexpected(
                LinkError{LinkError::Kind::unreachable,
                          "cannot reach " + traveller->where() + ": " + bastion->where() +
                              " opened no way there (" + tunnel->complaint_ +
                              "); check the address, and which addresses the bastion forwards to"});
        }
        const auto woken = co_await traveller->wait(deadline);
        switch (woken) {
        case Bell::Woken::rung:
            break;
        case Bell::Woken::due:
            co_return tl::unexpected(LinkError{
                LinkError::Kind::unreachable,
                "cannot reach " + traveller->where() + ": timed out while " + bastion->where() +
                    " was opening a way there; check the address, and the path from the "
                    "bastion to it"});
        case Bell::Woken::cancelled:
            co_return tl::unexpected(cancelled(*traveller));
        }
    }
}

tl::expected<Stream, LinkError> Tunnel::take_far_end() {
    int ends[2];
    if (::socketpair(AF_UNIX, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0, ends) != 0) {
        hang_up();
        return tl::unexpected(LinkError{LinkError::Kind::unreachable,
                                        "no file descriptor is left for a way through " +
                                            bastion_->where() +
                                            "; raise the limit on open files (LimitNOFILE)"});
    }
    near_.assign(asio::local::stream_protocol(), ends[0]);
    Stream far(bastion_->executor());
    far.assign(asio::generic::stream_protocol(AF_UNIX, 0), ends[1]);
    push_in();
    read_near();
    return far;
}

void Tunnel::ring_traveller() const {
    if (const auto traveller = traveller_.lock()) {
        traveller->ring();
    }
}

bool Tunnel::advance() {
    switch (state_) {
    case State::opening:
        ask_for_it();
        break;
    case State::open:
        if (!outbound_.empty()) {
            read_near(); // the window may be open again
        }
        if (given_up_ || (closed_by_peer_ && inbound_.empty())) {
            hang_up();
        }
        break;
    case State::closing:
        close_further();
        break;
    case State::refused:
    case State::closed:
        break;
    }
    if (state_ == State::refused || state_ == State::closed) {
        free();
        return false;
    }
    return true;
}

void Tunnel::ask_for_it() {
    // The originator's address is for the bastion's log; we have none worth telling.
    const int result = raw_ == nullptr
                           ? SSH_ERROR
                           : ssh_channel_open_forward(raw_, host_.c_str(), port_, "127.0.0.1", 0);
    if (result == SSH_AGAIN) {
        return;
    }
    state_ = result == SSH_OK ? (given_up_ ? State::closing : State::open) : State::refused;
    complaint_ = without_numbers(bastion_->complaint());
    ring_traveller();
}

/// From the traveller into the channel, as far as its window goes.
void Tunnel::read_near() {
    write_out();
    std::array<char, 16 * 1024> buffer; // NOLINT(cppcoreguidelines-pro-type-member-init)
    while (outbound_.empty() && near_.is_open()) {
        const auto got = ::recv(near_.native_handle(), buffer.data(), buffer.size(), MSG_DONTWAIT);
        if (got > 0) {
            outbound_.assign(buffer.data(), static_cast<std::size_t>(got));
            write_out();
        } else if (got < 0 && (errno == EAGAIN || errno == EINTR)) {
            wait_near(asio::socket_base::wait_read, read_armed_);
            return;
        } else {
            hang_up(); // the traveller has gone
        }
    }
}

void Tunnel::write_out() {
    while (!outbound_.empty() && state_ == State::open && !closed_by_peer_) {
        const auto room = std::min<std::size_t>(outbound_.size(), ssh_channel_window_size(raw_));
        if (room == 0) {
            return;
        }
        const int taken =
            ssh_channel_write(raw_, outbound_.data(), static_cast<std::uint32_t>(room));
        if (taken <= 0) {
            return; // keys are being exchanged, or the session is about to end
        }
        outbound_.erase(0, static_cast<std::size_t>(taken));
    }
}

/// From the channel to the traveller. Called from within libssh, so it calls nothing there.
void Tunnel::push_in() {
    while (!inbound_.empty() && near_.is_open()) {
        const auto sent = ::send(near_.native_handle(), inbound_.data(), inbound_.size(),
                                 MSG_DONTWAIT | MSG_NOSIGNAL);
        if (sent >= 0) {
            inbound_.erase(0, static_cast<std::size_t>(sent));
        } else if ((errno == EAGAIN || errno == EINTR) && inbound_.size() <= most_inbound) {
            wait_near(asio::socket_base::wait_write, write_armed_);
            return;
        } else {
            inbound_.clear();
            given_up_ = true;
        }
    }
    if (ended_ && inbound_.empty() && near_.is_open()) {
        ::shutdown(near_.native_handle(), SHUT_WR);
    }
}

void Tunnel::wait_near(asio::socket_base::wait_type what, bool& armed) {
    if (armed) {
        return;
    }
    armed = true;
    near_.async_wait(what, [weak = weak_from_this(), what, &armed](const auto& error) {
        const auto self = weak.lock();
        if (!self || error || self->bastion_ == nullptr) {
            return;
        }
        const auto bastion = self->bastion_->shared_from_this();
        armed = false;
        if (what == asio::socket_base::wait_write) {
            self->push_in();
        } else {
            self->read_near();
        }
        bastion->pump(); // sends what was written, and goes on with what has changed
    });
}

void Tunnel::hang_up() {
    boost::system::error_code ignored;
    near_.close(ignored);
    outbound_.clear();
    inbound_.clear();
    if (state_ == State::open) {
        state_ = State::closing;
    }
}

void Tunnel::close_further() {
    if (ssh_channel_is_open(raw_) && !close_sent_) {
        if (ssh_channel_close(raw_) == SSH_AGAIN) {
            return;
        }
        close_sent_ = true;
    }
    // The peer answers a close with its own (RFC 4254, section 5.3).
    if (!close_sent_ || closed_by_peer_) {
        state_ = State::closed;
    }
}

void Tunnel::session_ends(const LinkError& why) {
    free();
    hang_up();
    const bool was_opening = state_ == State::opening;
    state_ = State::closed;
    complaint_ = why.text;
    bastion_ = nullptr;
    const auto traveller = traveller_.lock();
    if (!traveller || given_up_) {
        return;
    }
    traveller->end({traveller->serving() && !was_opening ? LinkError::Kind::session_lost
                                                         : LinkError::Kind::unreachable,
                    traveller->where() + ": the way there is gone: " + why.text});
}

void Tunnel::free() {
    if (raw_ == nullptr) {
        return;
    }
    ssh_remove_channel_callbacks(raw_, callbacks_.get());
    ssh_channel_free(raw_);
    raw_ = nullptr;
}

} // namespace slotwitness::links
