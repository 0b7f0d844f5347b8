#include "authentication.hpp"

#include <libssh/libssh.h>

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
        if (credentials.key) {
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
            with = credentials.key ? with + " and the password in " + target_.password_file
                                   : "the password in " + target_.password_file;
            auto tried = co_await try_password(*credentials.password);
            if (!tried)
                co_return tl::unexpected(std::move(tried.error()));
            outcome = *tried;
        }
        if (outcome == Outcome::success)
            co_return Done{};
        co_return tl::unexpected(refused(outcome, with, credentials.password.has_value()));
    }

  private:
    [[nodiscard]] asio::awaitable<tl::expected<Outcome, LinkError>>
    attempt(std::function<int()> call) {
        int said = SSH_AUTH_ERROR;
        std::function<int()> once = [&said, call = std::move(call)] {
            said = call();
            return said == SSH_AUTH_AGAIN     ? SSH_AGAIN
                   : said == SSH_AUTH_SUCCESS ? SSH_OK
                                              : SSH_ERROR;
        };
        const auto result = co_await session_->until(deadline_, "authenticating", std::move(once));
        if (!result)
            co_return tl::unexpected(hung_up_on(result.error()));
        last_ = said;
        switch (said) {
        case SSH_AUTH_SUCCESS:
            co_return Outcome::success;
        case SSH_AUTH_PARTIAL:
            co_return Outcome::partial;
        case SSH_AUTH_DENIED:
            co_return Outcome::denied;
        default:
            co_return Outcome::failed;
        }
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
            const int prompts = ssh_userauth_kbdint_getnprompts(session_->ssh());
            if (prompts == 0)
                continue; // a message for a person
            char shows = 1;
            const char* prompt = ssh_userauth_kbdint_getprompt(session_->ssh(), 0, &shows);
            if (prompts != 1 || shows != 0 || is_told)
                co_return tl::unexpected(LinkError{
                    Kind::credential,
                    who() + " is asked \"" + std::string(prompt != nullptr ? prompt : "") +
                        "\", for which there is no answer but a password; let the account in by "
                        "one password, or by key"});
            if (ssh_userauth_kbdint_setanswer(session_->ssh(), 0, password.c_str()) < 0)
                co_return Outcome::failed;
            is_told = true;
        }
    }

    /// A device that takes leave in the midst of this (RFC 4253, section 11.1) has had enough of
    /// our attempts; one that just goes away may have other reasons.
    [[nodiscard]] LinkError hung_up_on(LinkError error) const {
        if (error.kind == Kind::session_lost &&
            error.text.find("SSH_MSG_DISCONNECT") != std::string::npos)
            return {Kind::credential, who() + ": the device ended the authentication (" +
                                          error.text +
                                          "); correct the credential before it locks the account"};
        return error;
    }

    [[nodiscard]] std::string who() const { return session_->where() + ": user " + target_.user; }

    [[nodiscard]] static std::string in_words(int methods) {
        std::string words;
        const auto add = [&](int method, const char* name) {
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
    Deadline deadline_;
    int last_ = SSH_AUTH_ERROR;
};

} // namespace

tl::expected<Credentials, LinkError> Credentials::read(const Target& target) {
    auto key = read_private_key(target);
    if (!key)
        return tl::unexpected(key.error());
    Credentials credentials{std::move(*key), std::nullopt};
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
