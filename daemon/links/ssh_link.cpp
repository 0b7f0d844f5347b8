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

std::string where(const Target& target) {
    const bool bare_ipv6 = target.host.find(':') != std::string::npos;
    return (bare_ipv6 ? "[" + target.host + "]" : target.host) + ":" + std::to_string(target.port);
}

asio::awaitable<tl::expected<Answer, LinkError>> fail(LinkError error) {
    co_return tl::unexpected(std::move(error));
}

class SshLink final : public Link {
  public:
    SshLink(asio::any_io_executor executor, Target target, Limits limits)
        : executor_(std::move(executor)), target_(std::move(target)), limits_(limits) {}
    ~SshLink() override { SshLink::close(); }
    SshLink(const SshLink&) = delete;
    SshLink& operator=(const SshLink&) = delete;

    // These are no coroutines themselves: what waits holds the session, not the link, which may go.
    asio::awaitable<tl::expected<void, LinkError>> connect() override {
        close();
        session_ = std::make_shared<Session>(executor_, where(target_), target_.keep_alive);
        return establish(session_, target_);
    }

    bool connected() const override { return session_ && session_->serving(); }

    asio::awaitable<tl::expected<Answer, LinkError>> ask(ApprovedQuery query) override {
        if (!session_) {
            return fail({Kind::misuse, where(target_) + ": asked before connecting"});
        }
        if (!session_->alive()) {
            return fail(session_->why());
        }
        if (!session_->serving()) {
            return fail({Kind::misuse, where(target_) + ": asked while connecting"});
        }
        switch (limits_.by) {
        case profiles::Reach::By::command:
            break;
        case profiles::Reach::By::netconf:
            if (!netconf_ || !netconf_->is_usable()) {
                netconf_ = std::make_shared<NetconfDialogue>(session_, limits_);
            }
            return NetconfDialogue::get(netconf_, std::move(query));
        case profiles::Reach::By::shell:
            if (!shell_ || !shell_->is_usable()) {
                shell_ = std::make_shared<ShellDialogue>(session_, limits_);
            }
            return ShellDialogue::ask(shell_, std::move(query));
        }
        return exec(session_, std::move(query), limits_);
    }

    void close() override {
        if (netconf_) {
            netconf_->close();
            netconf_.reset();
        }
        if (shell_) {
            shell_->close();
            shell_.reset();
        }
        if (session_) {
            session_->end({Kind::session_lost, where(target_) + ": closed by us"});
        }
    }

  private:
    asio::any_io_executor executor_;
    Target target_;
    Limits limits_;
    std::shared_ptr<Session> session_;
    std::shared_ptr<NetconfDialogue> netconf_;
    std::shared_ptr<ShellDialogue> shell_;
};

} // namespace

std::string_view to_word(LinkError::Kind kind) {
    switch (kind) {
    case Kind::unreachable:
        return "unreachable";
    case Kind::host_key:
        return "host-key";
    case Kind::credential:
        return "credential";
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

std::unique_ptr<Link> make_ssh_link(asio::any_io_executor executor, Target target, Limits limits) {
    return std::make_unique<SshLink>(std::move(executor), std::move(target), limits);
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
