#include "authentication.hpp"

#include "refusal.hpp"

#include <libssh/libssh.h>

#include <cstring>
#include <functional>
#include <utility>

namespace slotwitness::links {

namespace asio = boost::asio;
using Kind = LinkError::Kind;
using Done = tl::expected<void, LinkError>;

namespace {

/// What the device made of one attempt.
enum class Outcome {
    success,
    partial, ///< accepted, and it wants more
    denied,
    failed, ///< the exchange itself
};

class Authentication {
  public:
    Authentication(std::shared_ptr<Session> session, const Target& target)
        : session_(std::move(session)), target_(target),
          deadline_(std::chrono::steady_clock::now() + target.connect_timeout) {}

    [[nodiscard]] asio::awaitable<Done> run(Credentials credentials) {
        Outcome outcome = Outcome::partial;
        std::string with = "no credential";
        if (credentials.agent) {
            with = "the key " + target_.key_file + " of an agent";
            auto tried = co_await sign_by(credentials.agent);
            if (!tried)
                co_return tl::unexpected(std::move(tried.error()));
            outcome = *tried;
        } else if (credentials.key) {
            with = "key file " + target_.key_file;
            ssh_key key = credentials.key.get();
            std::function<int()> call = [this, key] {
                return ssh_userauth_publickey(session_->ssh(), nullptr, key);
            };
            auto tried = co_await attempt(std::move(call));
            if (!tried)
                co_return tl::unexpected(std::move(tried.error()));
            outcome = *tried;
        } else {
            // The list of methods comes with the answer to this (RFC 4252, section 5.2).
            std::function<int()> call = [this] {
                return ssh_userauth_none(session_->ssh(), nullptr);
            };
            auto tried = co_await attempt(std::move(call));
            if (!tried)
                co_return tl::unexpected(std::move(tried.error()));
            outcome = *tried == Outcome::denied ? Outcome::partial : *tried;
        }
        if (outcome == Outcome::partial && credentials.password) {
            with = !target_.key_file.empty()
                       ? with + " and the password in " + target_.password_file
                       : "the password in " + target_.password_file;
            auto tried = co_await try_password(*credentials.password);
            if (!tried)
                co_return tl::unexpected(std::move(tried.error()));
            outcome = *tried;
        }
        if (outcome == Outcome::success)
            co_return Done{};
        co_return tl::unexpected(
            in_its_words(refused(outcome, with, credentials.password.has_value())));
    }

  private:
    /// The agent's answer may take as long as a person needs to let it sign.
    [[nodiscard]] asio::awaitable<tl::expected<Outcome, LinkError>>
    sign_by(std::shared_ptr<AgentKey> agent) {
        const auto close = [](AgentKey* key) { key->close(); };
        const std::unique_ptr<AgentKey, decltype(close)> closed(agent.get(), close);
        // Without a socket of ours libssh would look for an agent in the environment.
        const int socket = agent->serve();
        if (socket < 0 || ssh_set_agent_socket(session_->ssh(), socket) != SSH_OK)
            co_return Outcome::failed;
        int said = SSH_AUTH_ERROR;
        std::function<int()> once = [ssh = session_->ssh(), &said] {
            said = ssh_userauth_agent(ssh, nullptr);
            return as_result(said);
        };
        std::function<void()> unblock = [agent] { agent->close(); };
        const auto result = co_await session_->until_elsewhere(
            deadline_, "an agent was signing, and authenticating", std::move(once),
            std::move(unblock));
        if (!agent->trouble().empty())
            co_return tl::unexpected(LinkError{Kind::own_files, who() + ": " + agent->trouble()});
        if (!result)
            co_return tl::unexpected(hung_up_on(result.error()));
        co_return outcome_of(said);
    }

    [[nodiscard]] static int as_result(int said) {
        return said == SSH_AUTH_AGAIN ? SSH_AGAIN : said == SSH_AUTH_SUCCESS ? SSH_OK : SSH_ERROR;
    }

    [[nodiscard]] static Outcome outcome_of(int said) {
        switch (said) {
        case SSH_AUTH_SUCCESS:
            return Outcome::success;
        case SSH_AUTH_PARTIAL:
            return Outcome::partial;
        case SSH_AUTH_DENIED:
            return Outcome::denied;
        default:
            return Outcome::failed;
        }
    }

    [[nodiscard]] asio::awaitable<tl::expected<Outcome, LinkError>>
    attempt(std::function<int()> call) {
        int said = SSH_AUTH_ERROR;
        std::function<int()> once = [&said, call = std::move(call)] {
            said = call();
            return as_result(said);
        };
        const auto result = co_await session_->until(deadline_, "authenticating", std::move(once));
        if (!result)
            co_return tl::unexpected(hung_up_on(result.error()));
        last_ = said;
        co_return outcome_of(said);
    }

    [[nodiscard]] asio::awaitable<tl::expected<Outcome, LinkError>>
    try_password(const Secret& password) {
        const auto methods = static_cast<unsigned>(ssh_userauth_list(session_->ssh(), nullptr));
        if ((methods & SSH_AUTH_METHOD_INTERACTIVE) != 0)
            co_return co_await answer_prompts(password);
        if ((methods & SSH_AUTH_METHOD_PASSWORD) != 0) {
            std::function<int()> call = [this, &password] {
                return ssh_userauth_password(session_->ssh(), nullptr, password.c_str());
            };
            co_return co_await attempt(std::move(call));
        }
        co_return tl::unexpected(
            LinkError{Kind::credential, who() + ": the device takes no password (it offers " +
                                            in_words(methods) + "); give the account a key"});
    }

    /// A password is told to one prompt that hides it, once; whatever else is asked has no answer
    /// here.
    [[nodiscard]] asio::awaitable<tl::expected<Outcome, LinkError>>
    answer_prompts(const Secret& password) {
        bool is_told = false;
        for (;;) {
            std::function<int()> call = [this] {
                return ssh_userauth_kbdint(session_->ssh(), nullptr, nullptr);
            };
            auto tried = co_await attempt(std::move(call));
            if (!tried || last_ != SSH_AUTH_INFO)
                co_return tried;
            hear(ssh_userauth_kbdint_getname(session_->ssh()));
            hear(ssh_userauth_kbdint_getinstruction(session_->ssh()));
            const int prompts = ssh_userauth_kbdint_getnprompts(session_->ssh());
            if (prompts == 0)
                continue; // a message for a person
            char shows = 1;
            const char* prompt = ssh_userauth_kbdint_getprompt(session_->ssh(), 0, &shows);
            hear(prompt);
            if (prompts != 1 || shows != 0 || is_told)
                co_return tl::unexpected(in_its_words(LinkError{
                    Kind::credential,
                    who() + " is asked \"" + std::string(prompt != nullptr ? prompt : "") +
                        "\", for which there is no answer but a password; let the account in by "
                        "one password, or by key"}));
            if (ssh_userauth_kbdint_setanswer(session_->ssh(), 0, password.c_str()) < 0)
                co_return Outcome::failed;
            is_told = true;
        }
    }

    /// A device that takes leave in the midst of this (RFC 4253, section 11.1) has had enough of
    /// our attempts; one that just goes away may have other reasons.
    [[nodiscard]] LinkError hung_up_on(LinkError error) const {
        if (error.kind == Kind::session_lost &&
            error.text.find("SSH_MSG_DISCONNECT") != std::string::npos) {
            const std::string text = error.text;
            error = {Kind::credential, who() + ": the device ended the authentication (" + text +
                                           "); correct the credential before it locks the account"};
            if (const auto told = target_.refusals.told_in(heard_ + text))
                return refused_login(who(), *told);
        }
        return error;
    }

    /// What the device says beside its refusal, where the profile knows it; else as it is.
    [[nodiscard]] LinkError in_its_words(LinkError error) {
        if (session_->alive()) {
            const std::unique_ptr<char, decltype(&ssh_string_free_char)> banner(
                ssh_get_issue_banner(session_->ssh()), ssh_string_free_char);
            hear(banner.get());
        }
        if (const auto told = target_.refusals.told_in(heard_))
            return refused_login(who(), *told);
        return error;
    }

    void hear(const char* text) {
        constexpr std::size_t most_heard = 16 * 1024;
        if (text != nullptr && heard_.size() < most_heard)
            heard_.append(text, ::strnlen(text, most_heard)).append("\n");
    }

    [[nodiscard]] std::string who() const { return session_->where() + ": user " + target_.user; }

    [[nodiscard]] static std::string in_words(unsigned methods) {
        std::string words;
        const auto add = [&](unsigned method, const char* name) {
            if ((methods & method) != 0)
                words.append(words.empty() ? "" : ", ").append(name);
        };
        add(SSH_AUTH_METHOD_PUBLICKEY, "publickey");
        add(SSH_AUTH_METHOD_HOSTBASED, "hostbased");
        add(SSH_AUTH_METHOD_GSSAPI_MIC, "gssapi-with-mic");
        return words.empty() ? "nothing" : words;
    }

    [[nodiscard]] LinkError refused(Outcome outcome, const std::string& with,
                                    bool has_password) const {
        const std::string whole = who() + " with " + with;
        if (outcome == Outcome::partial)
            return {Kind::credential,
                    whole + (has_password
                                 ? " is asked for more; let the account in by these alone"
                                 : " is asked for more than a key; let the account in by key "
                                   "alone, or name the file with its password")};
        if (outcome == Outcome::denied)
            return {Kind::credential,
                    whole + " was refused; " +
                        (has_password ? "correct it before the device locks the account"
                                      : "enter its public key for this user on the device")};
        return {Kind::credential, whole + ": authentication failed (" + session_->complaint() +
                                      "); check account and key"};
    }

    std::shared_ptr<Session> session_;
    const Target& target_;
    std::string heard_; ///< what the device said to people while we logged in
    Deadline deadline_;
    int last_ = SSH_AUTH_ERROR;
};

} // namespace

tl::expected<Credentials, LinkError> Credentials::read(const asio::any_io_executor& executor,
                                                       const Target& target) {
    Credentials credentials;
    if (!target.agent.empty()) {
        auto agent = AgentKey::open(executor, target);
        if (!agent)
            return tl::unexpected(agent.error());
        credentials.agent = std::move(*agent);
    } else {
        auto key = read_private_key(target);
        if (!key)
            return tl::unexpected(key.error());
        credentials.key = std::move(*key);
    }
    if (!target.password_file.empty()) {
        auto password = Secret::read(target.password_file);
        if (!password)
            return tl::unexpected(password.error());
        credentials.password.emplace(std::move(*password));
    }
    return credentials;
}

asio::awaitable<Done> authenticate(std::shared_ptr<Session> session, const Target& target,
                                   Credentials credentials) {
    Authentication authentication(std::move(session), target);
    co_return co_await authentication.run(std::move(credentials));
}

} // namespace slotwitness::links
