#include "messages.hpp"

#include <slotwitness/layouts/xml_names.hpp>

#include <algorithm>
#include <optional>
#include <pugixml.hpp>
#include <utility>

namespace slotwitness::netconf {
namespace {

constexpr std::string_view space = "urn:ietf:params:xml:ns:netconf:base:1.0";
constexpr std::string_view base_1_0 = "urn:ietf:params:netconf:base:1.0";
constexpr std::string_view base_1_1 = "urn:ietf:params:netconf:base:1.1";
constexpr std::string_view declaration = R"(<?xml version="1.0" encoding="UTF-8"?>)";

bool is_named(const pugi::xml_node& node, std::string_view local) {
    const auto name = layouts::name_of(node);
    return name && name->space == space && name->local == local;
}

std::string text_of(const pugi::xml_node& node) {
    std::string_view text = node.text().get();
    constexpr std::string_view blanks = " \t\r\n";
    text.remove_prefix(std::min(text.find_first_not_of(blanks), text.size()));
    text.remove_suffix(text.size() - (text.find_last_not_of(blanks) + 1));
    return std::string(text);
}

pugi::xml_node child(const pugi::xml_node& parent, std::string_view local) {
    for (const pugi::xml_node node : parent.children())
        if (is_named(node, local))
            return node;
    return {};
}

state::Problem not_spoken(std::string_view message, std::string expected, std::string remedy) {
    constexpr std::size_t shown = 60;
    return {"NETCONF",
            {},
            std::string(message.substr(0, shown)),
            std::move(expected),
            std::move(remedy)};
}

/// The message's root, if it is an element of NETCONF by this name. The library resolves no
/// external entity and reads no document type.
std::optional<pugi::xml_node> root_of(pugi::xml_document& document, std::string_view message,
                                      std::string_view local) {
    if (!document.load_buffer(message.data(), message.size(), pugi::parse_default,
                              pugi::encoding_utf8))
        return std::nullopt;
    const pugi::xml_node root = document.document_element();
    return is_named(root, local) ? std::optional(root) : std::nullopt;
}

std::string in_words(const pugi::xml_node& error) {
    std::string words = text_of(child(error, "error-tag"));
    for (const std::string_view part : {"error-message", "error-path"})
        if (const std::string text = text_of(child(error, part)); !text.empty())
            words.append(words.empty() ? "" : ": ").append(text);
    return words.empty() ? "an rpc-error without error-tag" : words;
}

std::string rpc(std::uint64_t message_id, std::string_view operation) {
    return std::string(declaration)
        .append("<rpc xmlns=\"")
        .append(space)
        .append("\" message-id=\"")
        .append(std::to_string(message_id))
        .append("\">")
        .append(operation)
        .append("</rpc>");
}

} // namespace

std::string hello() {
    std::string message(declaration);
    message.append("<hello xmlns=\"").append(space).append("\"><capabilities>");
    for (const std::string_view capability : {base_1_0, base_1_1})
        message.append("<capability>").append(capability).append("</capability>");
    return message.append("</capabilities></hello>");
}

std::string get(std::uint64_t message_id, std::string_view filter) {
    return rpc(
        message_id,
        std::string("<get><filter type=\"subtree\">").append(filter).append("</filter></get>"));
}

std::string close_session(std::uint64_t message_id) {
    return rpc(message_id, "<close-session/>");
}

tl::expected<Hello, state::Problem> read_hello(std::string_view message) {
    pugi::xml_document document;
    const auto root = root_of(document, message, "hello");
    if (!root || text_of(child(*root, "session-id")).empty())
        return tl::unexpected(
            not_spoken(message, "a hello with session-id (RFC 6241, section 8.1)",
                       "Check that what answers here is a NETCONF server, and its port."));
    Hello hello;
    for (const pugi::xml_node node : child(*root, "capabilities").children())
        if (is_named(node, "capability"))
            hello.capabilities.push_back(text_of(node));
    const auto announces = [&hello](std::string_view base) {
        return std::find(hello.capabilities.begin(), hello.capabilities.end(), base) !=
               hello.capabilities.end();
    };
    hello.chunks = announces(base_1_1);
    if (!hello.chunks && !announces(base_1_0))
        return tl::unexpected(not_spoken(
            message,
            std::string("the capability ").append(base_1_0).append(" or ").append(base_1_1),
            "Nothing can be asked of a device that speaks another version of NETCONF."));
    return hello;
}

tl::expected<Reply, state::Problem> read_reply(std::string_view message, std::uint64_t message_id) {
    pugi::xml_document document;
    const auto root = root_of(document, message, "rpc-reply");
    const std::string id = std::to_string(message_id);
    // An error in a request whose message-id could not be read is answered without one.
    const bool is_ours = root && (id == root->attribute("message-id").value() ||
                                  (!root->attribute("message-id") && child(*root, "rpc-error")));
    if (!is_ours)
        return tl::unexpected(not_spoken(message, "a rpc-reply to message " + id,
                                         "The session is ended; the next look opens another one."));
    Reply reply;
    for (const pugi::xml_node node : root->children()) {
        if (is_named(node, "rpc-error"))
            reply.errors.push_back(in_words(node));
        reply.has_data = reply.has_data || is_named(node, "data");
    }
    return reply;
}

} // namespace slotwitness::netconf
