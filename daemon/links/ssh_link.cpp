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

class SshLink final : public Link {
  public:
    SshLink(asio::any_io_executor executor, Target target, Limits limits,
            std::shared_ptr<Bastion> through)
        : executor_(std::move(executor)), target_(std::move(target)), limits_(limits),
          through_(std::move(through)), where_(place_of(target_) + ways_of(through_)) {}
    ~SshLink() override { SshLink::close(); }
    SshLink(const SshLink&) = delete;
    SshLink& operator=(const SshLink&) = delete;

    // These are no coroutines themselves: what waits holds the session, not the link, which may go.
    asio::awaitable<tl::expected<void, LinkError>> connect() override {
        // Before the old session goes, so that the bastion's need not go with it.
        auto use = through_ ? through_->use() : nullptr;
        close();
        use_of_way_ = std::move(use);
        session_ = std::make_shared<Session>(executor_, where_, target_.keep_alive);
        return establish(session_, target_, through_);
    }

    bool connected() const override { return session_ && session_->serving(); }

    std::optional<Agreed> agreed() const override {
        return session_ ? session_->agreed() : std::nullopt;
    }

    asio::awaitable<tl::expected<Answer, LinkError>> ask(ApprovedQuery query) override {
        if (!session_) {
            return fail({Kind::misuse, where_ + ": asked before connecting"});
        }
        if (!session_->alive()) {
            return fail(session_->why());
        }
        if (!session_->serving()) {
            return fail({Kind::misuse, where_ + ": asked while connecting"});
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
            session_->end({Kind::session_lost, where_ + ": closed by us"});
        }
        use_of_way_.reset();
    }

    void forgive() override {
        if (through_) {
            through_->forgive();
        }
    }

  private:
    asio::any_io_executor executor_;
    Target target_;
    Limits limits_;
    std::shared_ptr<Bastion> through_;
    std::string where_;
    Bastion::Use use_of_way_;
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
    case Kind::bastion:
        return "bastion";
    case Kind::own_files:
        return "own-files";
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
