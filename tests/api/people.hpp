#pragma once

#include "../tokens/noon.hpp"
#include "../twins/folder.hpp"
#include "samples.hpp"

#include <slotwitness/api/door.hpp>
#include <slotwitness/tokens/register.hpp>
#include <slotwitness/tokens/token_file.hpp>

#include <stdexcept>

namespace slotwitness::api {

/// People with tokens, and the register that knows them.
class People {
  public:
    People() { keep(); }

    /// The text of a new token.
    std::string add(tokens::Role role, std::string procedure = "",
                    std::chrono::seconds lasts = std::chrono::hours{12}) {
        auto made =
            tokens::make_token({name_of(role), role, std::move(procedure), lasts}, tokens::noon);
        kept_.push_back(made.value().token);
        keep();
        return made->text;
    }
    void revoke(const std::string& text) {
        for (tokens::Token& token : kept_)
            if (token.id == id_of(text))
                token.revoked = tokens::noon;
        keep();
    }
    void lose_file() const { std::filesystem::remove(folder_.file("tokens")); }

    static std::string name_of(tokens::Role role) {
        return "A. " + std::string{tokens::to_word(role)};
    }
    static std::string id_of(const std::string& text) { return text.substr(4, 8); }

    tokens::WallTime time = tokens::noon;

  private:
    void keep() {
        const auto done = tokens::edit_tokens(
            folder_.file("tokens"),
            [&](std::vector<tokens::Token>& all) -> tl::expected<void, std::string> {
                all = kept_;
                return {};
            });
        if (!done)
            throw std::runtime_error(done.error());
    }

    twins::Folder folder_;
    std::vector<tokens::Token> kept_;

  public:
    tokens::Register known{folder_.file("tokens"), [this] { return time; }};
};

/// The request with this token.
inline Request with_token(Request request, const std::string& token) {
    request.fields.push_back({"Authorization", "Bearer " + token});
    return request;
}

} // namespace slotwitness::api
