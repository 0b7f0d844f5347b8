#include "bastion.hpp"
#include "channel.hpp"
#include "handshake.hpp"
#include "netconf_dialogue.hpp"
#include "session.hpp"
#include "shell_dialogue.hpp"

#include <libssh/libssh.h>

#include <csignal>

namespace slotwitness::links {

namespace asio = boost::asio;
using Kind = LinkError::Kind;

namespace {

asio::awaitable<tl::expected<Answer, LinkError>> fail(LinkError error) {
    co_return tl::unexpected(std::move(error));
}

/// One wish for a session, at the addresses in turn. It outlives the link, which may go meanwhile.
struct Attempt {
    Target target;
    std::shared_ptr<Bastion> through;
    std::size_t first = 0; ///< of the addresses: where to begin
    std::shared_ptr<Session> session;
    bool is_given_up = false;

    [[nodiscard]] std::size_t addresses() const { return 1 + target.also_at.size(); }
    [[nodiscard]] Target at(std::size_t place) const {
        Target one = target;
        if (place > 0)
            one.host = target.also_at[place - 1];
        return one;
    }
    void begin(const asio::any_io_executor& executor, std::size_t place) {
        session = std::make_shared<Session>(executor, place_of(at(place)) + ways_of(through),
                                            target.keep_alive);
    }
};

/// Whether another address of the chassis may do better. Who is refused here is refused there, and
/// a host key that is not known is for people to see.
bool may_go_on(LinkError::Kind kind) {
    switch (kind) {
    case Kind::unreachable:
    case Kind::session_lost:
    case Kind::timed_out:
    case Kind::no_line:
        return true;
    case Kind::host_key:
    case Kind::own_files:
    case Kind::bastion:
    case Kind::credential:
    case Kind::locked:
    case Kind::aaa:
    case Kind::refused:
    case Kind::misuse:
        return false;
    }
    return false;
}

asio::awaitable<tl::expected<void, LinkError>> connect_in_turn(asio::any_io_executor executor,
                                                               std::shared_ptr<Attempt> attempt) {
    std::string before;
    for (std::size_t tried = 1;; ++tried) {
        auto result =
            co_await establish(attempt->session, attempt->at(attempt->first), attempt->through);
        if (result) {
            co_return result;
        }
        LinkError error = result.error();
        const bool is_last = tried == attempt->addresses();
        if (attempt->is_given_up || is_last || !may_go_on(error.kind)) {
            error.text.insert(0, before);
            co_return tl::unexpected(std::move(error));
        }
        before += error.text + "; and then ";
        attempt->first = (attempt->first + 1) % attempt->addresses();
        attempt->begin(executor, attempt->first);
    }
}

class SshLink final : public Link {
  public:
    SshLink(asio::any_io_executor executor, Target target, Limits limits,
            std::shared_ptr<Bastion> through)
        : executor_(std::move(executor)), limits_(std::move(limits)),
          attempt_(std::make_shared<Attempt>()) {
        attempt_->target = std::move(target);
        attempt_->through = std::move(through);
    }
    ~SshLink() override { SshLink::close(); }
    SshLink(const SshLink&) = delete;
    SshLink& operator=(const SshLink&) = delete;

    // These are no coroutines themselves: what waits holds the session, not the link, which may go.
    asio::awaitable<tl::expected<void, LinkError>> connect() override {
        // Before the old session goes, so that the bastion's need not go with it.
        const auto& through = attempt_->through;
        auto use = through ? through->use() : nullptr;
        close();
        use_of_way_ = std::move(use);
        // It begins where the last one came to: that address answered, or is next in turn.
        auto next = std::make_shared<Attempt>(*attempt_);
        next->is_given_up = false;
        attempt_ = std::move(next);
        attempt_->begin(executor_, attempt_->first);
        return connect_in_turn(executor_, attempt_);
    }

    bool connected() const override { return session() && session()->serving(); }

    std::optional<Reached> reached() const override {
        if (!session() || !session()->agreed()) {
            return std::nullopt;
        }
        return Reached{session()->where(), session()->host_key(), *session()->agreed()};
    }

    asio::awaitable<tl::expected<Answer, LinkError>> ask(ApprovedQuery query) override {
        if (!session()) {
            return fail({Kind::misuse, place_of(attempt_->target) + ": asked before connecting"});
        }
        if (!session()->alive()) {
            return fail(session()->why());
        }
        if (!session()->serving()) {
            return fail({Kind::misuse, session()->where() + ": asked while connecting"});
        }
        if (limits_.by == profiles::Reach::By::command) {
            return exec(session(), std::move(query), limits_);
        }
        if (!conversation_ || !conversation_->is_usable()) {
            conversation_ = new_conversation();
        }
        return Conversation::ask(conversation_, std::move(query));
    }

    void close() override {
        if (conversation_) {
            conversation_->close();
            conversation_.reset();
        }
        attempt_->is_given_up = true;
        if (session()) {
            session()->end({Kind::session_lost, session()->where() + ": closed by us"});
        }
        use_of_way_.reset();
    }

    void forgive() override {
        if (attempt_->through) {
            attempt_->through->forgive();
        }
    }

  private:
    [[nodiscard]] const std::shared_ptr<Session>& session() const { return attempt_->session; }
    [[nodiscard]] std::shared_ptr<Conversation> new_conversation() const {
        if (limits_.by == profiles::Reach::By::shell) {
            return std::make_shared<ShellDialogue>(session(), limits_);
        }
        return std::make_shared<NetconfDialogue>(session(), limits_);
    }

    asio::any_io_executor executor_;
    Limits limits_;
    Bastion::Use use_of_way_;
    std::shared_ptr<Attempt> attempt_; ///< the newest; never null
    std::shared_ptr<Conversation>
        conversation_; ///< the newest; null if there was none, or by command
};

} // namespace

std::string_view to_word(LinkError::Kind kind) {
    switch (kind) {
    case Kind::unreachable:
        return "unreachable";
    case Kind::host_key:
        return "host-key";
    case Kind::bastion:
        return "bastion";
    case Kind::own_files:
        return "own-files";
    case Kind::credential:
        return "credential";
    case Kind::locked:
        return "account-locked";
    case Kind::aaa:
        return "aaa-unreachable";
    case Kind::no_line:
        return "no-free-line";
    case Kind::session_lost:
        return "session-lost";
    case Kind::timed_out:
        return "timed-out";
    case Kind::refused:
        return "refused";
    case Kind::misuse:
        return "misuse";
    }
    return "misuse";
}

bool is_for_people(LinkError::Kind kind) {
    return kind == Kind::credential || kind == Kind::locked || kind == Kind::bastion;
}

std::unique_ptr<Link> make_ssh_link(asio::any_io_executor executor, Target target, Limits limits,
                                    std::shared_ptr<Bastion> through) {
    return std::make_unique<SshLink>(std::move(executor), std::move(target), limits,
                                     std::move(through));
}

tl::expected<void, std::string> prepare_ssh() {
    if (ssh_version(SSH_VERSION_INT(0, 10, 6)) == nullptr) {
        return tl::unexpected(std::string("libssh ") + ssh_version(0) +
                              " is too old; install 0.10.6 or later with its security fixes");
    }
    // A peer that goes away while we write is an error of that session, not the end of the daemon.
    std::signal(SIGPIPE, SIG_IGN);
    return {};
}

} // namespace slotwitness::links
