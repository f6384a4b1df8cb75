// A C++ program as a user would write it: handles in smart pointers, failures as exceptions. Also the second unit
// that includes the header, twice.
#include "calcore.h"
#include "calcore.h"

#include <cmath>
#include <cstdio>
#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

namespace {

template <auto Free>
struct Release {
    template <class T>
    void operator()(T *handle) const
    {
        Free(handle);
    }
};

using Cvd = std::unique_ptr<calcore_cvd, Release<calcore_cvd_free>>;

class Failure : public std::runtime_error {
public:
    Failure(calcore_status status, const std::string &text) : std::runtime_error(text), status(status) {}
    calcore_status status;
};

template <class Call>
void must(Call call)
{
    char text[256] = "";
    calcore_error err{};
    err.size = sizeof err;
    err.message = text;
    err.message_cap = sizeof text;
    if (const calcore_status status = call(&err); status != CALCORE_OK) {
        throw Failure(status, text);
    }
}

Cvd pt100()
{
    calcore_cvd *raw = nullptr;
    must([&](calcore_error *err) { return calcore_cvd_iec60751(100.0, &raw, err); });
    return Cvd(raw);
}

long passed = 0;
long failed = 0;

void check(bool good, const char *words)
{
    (good ? passed : failed)++;
    if (!good) {
        std::printf("client.cpp: failed: %s\n", words);
    }
}

} // namespace

int main()
{
    check(calcore_abi_version() == CALCORE_ABI_VERSION, "ABI version");
    const Cvd curve = pt100();
    const std::vector<double> t_c{-200.0, 0.0, 100.0, 850.0};
    std::vector<double> ohm(t_c.size());
    must([&](calcore_error *err) {
        return calcore_cvd_resistance_array(curve.get(), t_c.data(), t_c.size(), CALCORE_STRICT, ohm.data(), err);
    });
    // IEC 60751:2022, table 1, prints 18.52, 100.00, 138.51 and 390.48 ohm: half of the last digit.
    const double printed[] = {18.52, 100.00, 138.51, 390.48};
    for (std::size_t i = 0; i < ohm.size(); i++) {
        check(std::fabs(ohm[i] - printed[i]) <= 0.005 + 1e-9, "IEC 60751 table 1");
    }
    try {
        double ignored = 0.0;
        must([&](calcore_error *err) { return calcore_cvd_resistance(curve.get(), 900.0, &ignored, err); });
        check(false, "an exception was due");
    } catch (const Failure &failure) {
        check(failure.status == CALCORE_E_OUT_OF_RANGE, "status of the exception");
        check(std::string(failure.what()).find("900") != std::string::npos, "text of the exception");
    }
    std::printf("%ld passed, %ld failed\n", passed, failed);
    return failed == 0 ? 0 : 1;
}
