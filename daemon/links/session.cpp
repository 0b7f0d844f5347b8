#include "session.hpp"

#include "channel.hpp"

#include <libssh/callbacks.h>
#include <libssh/libssh.h>
#include <libssh/server.h> // ssh_send_keepalive

#include <algorithm>
#include <fcntl.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <unistd.h>
#include <utility>

namespace slotwitness::links {

namespace asio = boost::asio;

namespace {

/// libssh makes the descriptor blocking again as soon as it takes it for connected.
void forbid_blocking(int descriptor) {
    const int flags = ::fcntl(descriptor, F_GETFL);
    if (flags >= 0 && (flags & O_NONBLOCK) == 0) {
        ::fcntl(descriptor, F_SETFL, flags | O_NONBLOCK);
    }
}

LinkError defect(const Session& session, const std::string& what) {
    return {LinkError::Kind::misuse, session.where() + ": " + what};
}

} // namespace

Session::Session(asio::any_io_executor executor, std::string where, units::Duration keep_alive)
    : executor_(std::move(executor)), where_(std::move(where)), keep_alive_(keep_alive),
      bell_(executor_), counter_(std::make_unique<ssh_counter_struct>()), silence_(executor_) {}

Session::~Session() {
    end({LinkError::Kind::session_lost, where_ + ": closed"});
}

std::string place_of(const Target& target) {
    const bool bare_ipv6 = target.host.find(':') != std::string::npos;
    return (bare_ipv6 ? "[" + target.host + "]" : target.host) + ":" + std::to_string(target.port);
}

tl::expected<void, LinkError> Session::adopt(Stream stream) {
    if (!alive()) {
        return tl::unexpected(why());
    }
    // A local socket knows neither, and needs neither.
    const int yes = 1;
    const auto patience = static_cast<int>(keep_alive_.count());
    ::setsockopt(stream.native_handle(), IPPROTO_TCP, TCP_NODELAY, &yes, sizeof(yes));
    ::setsockopt(stream.native_handle(), IPPROTO_TCP, TCP_USER_TIMEOUT, &patience,
                 sizeof(patience));
    // libssh closes its descriptor when it likes; the reactor must not lose its own by that.
    const int own = ::fcntl(stream.native_handle(), F_DUPFD_CLOEXEC, 0);
    if (own < 0) {
        return tl::unexpected(LinkError{
            LinkError::Kind::unreachable,
            where_ + ": no file descriptor is left; raise the limit on open files (LimitNOFILE)"});
    }
    ssh_ = ssh_new();
    if (ssh_ == nullptr || ssh_options_set(ssh_, SSH_OPTIONS_FD, &own) != SSH_OK) {
        ::close(own);
        return tl::unexpected(defect(*this, "libssh gave no session"));
    }
    ssh_set_blocking(ssh_, 0);
    ssh_set_counters(ssh_, counter_.get(), nullptr);
    socket_ = std::move(stream);
    return {};
}

void Session::serve() {
    event_ = ssh_event_new();
    if (event_ == nullptr || ssh_event_add_session(event_, ssh_) != SSH_OK) {
        end(defect(*this, "libssh gave no event loop"));
        return;
    }
    pump();
    watch_silence();
}

std::string Session::complaint() const {
    return ssh_ != nullptr ? ssh_get_error(ssh_) : "";
}

/// Whether there is nothing more to wait for.
bool Session::is_over(int result) {
    if (result == SSH_OK) {
        return true;
    }
    // A peer that is gone looks like SSH_AGAIN for ever to some calls.
    end_if_closed();
    return !alive() || result != SSH_AGAIN;
}

tl::expected<int, LinkError> Session::late(std::string_view doing) {
    end({LinkError::Kind::timed_out, where_ + ": timed out while " + std::string(doing) +
                                         "; check the device's load and the path to it"});
    return tl::unexpected(why());
}

std::optional<LinkError> Session::ended_by(Bell::Woken woken, std::string_view doing) {
    switch (woken) {
    case Bell::Woken::rung:
        return std::nullopt;
    case Bell::Woken::due:
        return late(doing).error();
    case Bell::Woken::cancelled:
        return cancelled(*this);
    }
    return std::nullopt;
}

asio::awaitable<tl::expected<int, LinkError>>
Session::until(Deadline deadline, std::string_view doing, std::function<int()> call) {
    bool due = false;
    for (;;) {
        if (!alive()) {
            co_return tl::unexpected(why());
        }
        const int result = enter(call);
        if (is_over(result)) {
            co_return alive() ? tl::expected<int, LinkError>(result) : tl::unexpected(why());
        }
        if (due) {
            co_return late(doing);
        }
        const auto woken = co_await bell_.wait(deadline);
        switch (woken) {
        case Bell::Woken::rung:
            break;
        case Bell::Woken::due:
            due = true; // the call looks once more at what has arrived meanwhile
            break;
        case Bell::Woken::cancelled:
            co_return tl::unexpected(cancelled(*this));
        }
    }
}

asio::awaitable<tl::expected<int, LinkError>>
Session::until_elsewhere(Deadline deadline, std::string_view doing, std::function<int()> call,
                         std::function<void()> unblock) {
    // However this coroutine ends, no thread is left with libssh.
    const auto recall_it = [](Session* session) { session->recall(); };
    const std::unique_ptr<Session, decltype(recall_it)> guard(this, recall_it);
    for (;;) {
        if (!alive()) {
            co_return tl::unexpected(why());
        }
        const auto before = bytes_in();
        std::function<void()> done = [weak = weak_from_this()] {
            if (const auto self = weak.lock()) {
                self->ring();
            }
        };
        errand_ = std::make_shared<Errand>(executor_, call, unblock, std::move(done));
        while (alive() && !errand_->is_done()) {
            const auto woken = co_await bell_.wait(deadline);
            if (const auto ended = ended_by(woken, doing)) {
                co_return tl::unexpected(*ended);
            }
        }
        if (!alive()) {
            co_return tl::unexpected(why());
        }
        const int outcome = errand_->result();
        recall();
        // What the call read or has to send is settled as if it had run here.
        const int result = enter([outcome] { return outcome; });
        if (is_over(result)) {
            co_return alive() ? tl::expected<int, LinkError>(result) : tl::unexpected(why());
        }
        if (bytes_in() != before) {
            continue; // it may have got further than it says
        }
        const auto woken = co_await bell_.wait(deadline);
        if (const auto ended = ended_by(woken, doing)) {
            co_return tl::unexpected(*ended);
        }
    }
}

void Session::recall() {
    if (const auto errand = std::exchange(errand_, nullptr)) {
        errand->recall();
    }
}

asio::awaitable<Bell::Woken> Session::wait(Deadline deadline) {
    return bell_.wait(deadline);
}

int Session::enter(const std::function<int()>& call) {
    const auto before = bytes_in();
    const int result = call();
    if (ssh_ != nullptr && ssh_get_fd(ssh_) >= 0) {
        forbid_blocking(ssh_get_fd(ssh_));
    }
    if (bytes_in() != before) {
        ring(); // the call may have read what another one waits for
    }
    arm();
    return result;
}

void Session::pump() {
    if (!alive() || ssh_ == nullptr) {
        return;
    }
    if (errand_) {
        ring();
        return; // libssh is on another thread; who waits for it looks for itself afterwards
    }
    if (event_ != nullptr) {
        // libssh takes at most 4096 bytes a call. The bound lets other sessions have their turn;
        // what is left makes the socket readable again.
        constexpr int most_rounds = 64;
        auto before = bytes_in();
        for (int round = 0; round < most_rounds; ++round) {
            ssh_event_dopoll(event_, 0);
            if (closed_by_peer() || bytes_in() == before) {
                break;
            }
            before = bytes_in();
        }
        advance_retiring();
        std::erase_if(tenants_, [](const auto& tenant) { return !tenant->advance(); });
    }
    end_if_closed();
    arm();
    ring();
}

std::shared_ptr<Channel> Session::open_channel(std::size_t longest_answer) {
    auto channel = std::make_shared<Channel>(*this, longest_answer);
    channels_.push_back(channel);
    return channel;
}

void Session::retire(const std::shared_ptr<Channel>& channel) {
    if (std::erase(channels_, channel) == 0 || !alive()) {
        return;
    }
    channel->retire();
    retiring_.push_back(channel);
    advance_retiring();
    end_if_closed();
    arm();
    ring();
}

void Session::advance_retiring() {
    std::erase_if(retiring_, [](const auto& channel) { return channel->close_further(); });
}

bool Session::closed_by_peer() const {
    return ssh_ != nullptr && (ssh_get_status(ssh_) & (SSH_CLOSED | SSH_CLOSED_ERROR)) != 0;
}

void Session::end_if_closed() {
    if (!closed_by_peer()) {
        return;
    }
    const auto said = complaint();
    end({LinkError::Kind::session_lost, where_ + ": router session lost (" +
                                            (said.empty() ? "closed by the peer" : said) +
                                            "); connect again"});
}

void Session::arm() {
    if (!alive() || !socket_ || errand_) {
        return;
    }
    if (!read_armed_) {
        wait_for(Stream::wait_read, read_armed_);
    }
    if (!write_armed_ && (ssh_get_poll_flags(ssh_) & SSH_WRITE_PENDING) != 0) {
        wait_for(Stream::wait_write, write_armed_);
    }
}

void Session::wait_for(asio::socket_base::wait_type what, bool& armed) {
    armed = true;
    socket_->async_wait(what, [weak = weak_from_this(), &armed](const auto& error) {
        const auto self = weak.lock();
        if (!self || error) {
            return;
        }
        armed = false;
        self->pump();
    });
}

std::uint64_t Session::bytes_in() const {
    return counter_->in_bytes;
}

void Session::watch_silence() {
    if (!alive()) {
        return;
    }
    silence_.expires_after(keep_alive_);
    silence_.async_wait([weak = weak_from_this()](const auto& error) {
        if (const auto self = weak.lock(); self && !error) {
            self->judge_silence();
        }
    });
}

void Session::judge_silence() {
    if (!alive()) {
        return;
    }
    pump(); // what lies in the socket is a sign of life, however late we come to read it
    if (!alive()) {
        return;
    }
    const auto heard = bytes_in();
    if (probing_ && heard == bytes_at_probe_) {
        end({LinkError::Kind::session_lost, where_ + ": router session lost (no sign of life for " +
                                                units::to_text(keep_alive_) + "); connect again"});
        return;
    }
    // A call while the last reply is outstanding only collects it, so the first of two may not
    // send.
    if (probing_) {
        ssh_send_keepalive(ssh_);
        probing_ = false;
    }
    const bool expects_nothing = std::all_of(
        channels_.begin(), channels_.end(), [](const auto& channel) { return channel->resting(); });
    if (expects_nothing && heard == bytes_at_probe_) {
        ssh_send_keepalive(ssh_);
        probing_ = true;
    }
    bytes_at_probe_ = bytes_in();
    end_if_closed();
    arm();
    watch_silence();
}

void Session::end(LinkError reason) {
    if (end_) {
        return;
    }
    end_ = std::move(reason);
    recall();
    for (auto* list : {&channels_, &retiring_}) {
        for (const auto& channel : *list) {
            channel->abandon();
        }
        list->clear();
    }
    for (const auto& tenant : std::exchange(tenants_, {})) {
        tenant->session_ends(*end_);
    }
    if (ssh_ != nullptr) {
        // Whether the descriptor is still libssh's must be asked before: its number may be in use
        // again by now.
        const int own = ssh_get_fd(ssh_);
        if (event_ != nullptr) {
            ssh_event_remove_session(event_, ssh_);
            ssh_event_free(event_);
            event_ = nullptr;
        }
        ssh_disconnect(ssh_);
        ssh_free(ssh_);
        ssh_ = nullptr;
        if (own >= 0) {
            ::close(own);
        }
    }
    silence_.cancel();
    if (socket_) {
        boost::system::error_code ignored;
        socket_->close(ignored);
    }
    ring();
}

LinkError cancelled(const Session& session) {
    return {LinkError::Kind::session_lost, session.where() + ": cancelled by the caller"};
}

} // namespace slotwitness::links
