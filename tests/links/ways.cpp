#include "ways.hpp"

#include <slotwitness/netconf/framing.hpp>
#include <slotwitness/netconf/messages.hpp>

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <sys/stat.h>

namespace slotwitness::links::test {

std::string numbers_to(int last, const std::string& line_end) {
    std::string text;
    for (int i = 1; i <= last; ++i)
        text.append(std::to_string(i)).append(line_end);
    return text;
}

Asking by_command(int last) {
    Asking asking;
    asking.query = "seq 1 " + std::to_string(last) + "; echo done >&2; exit 7";
    asking.right = {numbers_to(last, "\n"), "done\n", true, 7, ""};
    return asking;
}

Asking by_shell(int last) {
    Asking asking;
    asking.server.forced_command = "exec env PS1='edge-7> ' dash -i";
    asking.limits = in_a_shell({}, "session-queries = [\"true\"]");
    asking.query = "seq 1 " + std::to_string(last);
    asking.right = {numbers_to(last, "\r\n"), "", true, 0, ""};
    return asking;
}

Asking by_netconf(const std::filesystem::path& folder, int last, const std::string& more) {
    using netconf::framed;
    constexpr auto framing = netconf::Framing::end_of_message;
    const std::string space = R"(xmlns="urn:ietf:params:xml:ns:netconf:base:1.0")";
    Asking asking;
    asking.limits.by = profiles::Reach::By::netconf;
    asking.query = R"(<hardware xmlns="urn:ietf:params:xml:ns:yang:ietf-hardware"/>)";
    asking.right = {"<rpc-reply " + space + " message-id=\"1\"><data><x>" + numbers_to(last, "\n") +
                        "</x></data></rpc-reply>",
                    "", true, 0, ""};
    std::ofstream(folder / "hello", std::ios::binary)
        << framed("<hello " + space +
                      "><capabilities><capability>urn:ietf:params:netconf:base:1.0</capability>"
                      "</capabilities><session-id>1</session-id></hello>",
                  framing);
    const bool has_end = last != 0;
    std::ofstream(folder / "reply", std::ios::binary)
        << (has_end ? framed(asking.right.bytes, framing) : "<rpc-reply ");
    const std::size_t heard = framed(netconf::hello(), framing).size() +
                              framed(netconf::get(1, asking.query), framing).size();
    // Whoever has the pipe open has not ended.
    ::mkfifo((folder / "peers").c_str(), 0600);
    std::ofstream(folder / "peer.sh") << "cd " << folder << "\nexec 9<>peers\ncat hello\nhead -c "
                                      << heard << " >heard.$$\ncat reply\n"
                                      << more << "\ncat >>heard.$$\n";
    asking.server.more = {"Subsystem netconf /bin/sh " + (folder / "peer.sh").string()};
    return asking;
}

std::vector<std::string> heard_over_netconf(const std::filesystem::path& folder) {
    wait_until_left(folder / "peers");
    std::vector<std::string> heard;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        if (entry.path().stem() == "heard") {
            std::ifstream file(entry.path(), std::ios::binary);
            heard.emplace_back(std::istreambuf_iterator<char>(file),
                               std::istreambuf_iterator<char>());
        }
    return heard;
}

asio::awaitable<tl::expected<Answer, LinkError>> session(Link& link, const Asking& asking) {
    const auto connected = co_await link.connect();
    if (!connected)
        co_return tl::unexpected(connected.error());
    auto query = approved(asking.query);
    auto answer = co_await link.ask(std::move(query));
    link.close();
    co_return answer;
}

void expect_right(const tl::expected<Answer, LinkError>& answer, const Asking& asking) {
    ASSERT_TRUE(answer) << answer.error().text;
    EXPECT_TRUE(answer->bytes == asking.right.bytes) << answer->bytes.substr(0, 500);
    EXPECT_EQ(answer->errors, asking.right.errors);
    EXPECT_EQ(answer->exit_status, asking.right.exit_status);
    EXPECT_TRUE(answer->ended);
    EXPECT_EQ(answer->remark, "");
}

} // namespace slotwitness::links::test
