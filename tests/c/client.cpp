// A C++ program as a user would write it: handles in smart pointers, failures as exceptions, a model as a lambda, one
// curve used by several threads at once. client RUN evaluates a run.
#include "calcore.h"
#include "calcore.h"

#include <cmath>
#include <cstdio>
#include <cstring>
#include <fstream>
#include <functional>
#include <iterator>
#include <limits>
#include <memory>
#include <stdexcept>
#include <string>
#include <thread>
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
using Run = std::unique_ptr<calcore_run, Release<calcore_run_free>>;
using Result = std::unique_ptr<calcore_result, Release<calcore_result_free>>;

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

// A struct of the library with its size set.
template <class T>
T sized()
{
    T value{};
    value.size = sizeof value;
    return value;
}

using Model = std::function<double(const double *)>;

// No exception may leave a callback: it becomes a status.
calcore_status call_model(const double *values, std::size_t, double *result, void *user)
{
    try {
        *result = (*static_cast<const Model *>(user))(values);
        return CALCORE_OK;
    } catch (...) {
        return 1;
    }
}

// R = V/I. JCGM 100:2008, 5.1.2: relative variances add.
void model()
{
    std::vector<calcore_input> inputs(2);
    inputs[0].kind = inputs[1].kind = CALCORE_NORMAL;
    inputs[0].degrees_of_freedom = inputs[1].degrees_of_freedom = std::numeric_limits<double>::infinity();
    inputs[0].p1 = 0.1;
    inputs[0].p2 = 1e-5;
    inputs[1].p1 = 1e-3;
    inputs[1].p2 = 1e-7;
    Model ratio = [](const double *x) { return x[0] / x[1]; };
    auto budget = sized<calcore_budget>();
    must([&](calcore_error *err) {
        return calcore_propagate(call_model, &ratio, inputs.data(), inputs.size(), nullptr, CALCORE_COVERAGE_FACTOR, 2.0, &budget,
                                 nullptr, err);
    });
    check(std::fabs(budget.value - 100.0) < 1e-12, "value of the model");
    check(std::fabs(budget.standard_uncertainty - 100.0 * std::sqrt(2e-8)) < 1e-9, "uncertainty of the model");
    ratio = [](const double *) -> double { throw std::runtime_error("no answer"); };
    try {
        must([&](calcore_error *err) {
            return calcore_propagate(call_model, &ratio, inputs.data(), inputs.size(), nullptr, CALCORE_COVERAGE_FACTOR, 2.0,
                                     &budget, nullptr, err);
        });
        check(false, "an exception was due");
    } catch (const Failure &failure) {
        check(failure.status == CALCORE_E_MODEL_FAILED, "status of a failing model");
    }
}

// One handle, many threads: the same bits as alone.
void threads(const calcore_cvd *curve)
{
    constexpr int count = 8;
    std::vector<double> t_c(10000);
    for (std::size_t i = 0; i < t_c.size(); i++) {
        t_c[i] = -200.0 + 0.105 * static_cast<double>(i);
    }
    std::vector<std::vector<double>> ohm(count, std::vector<double>(t_c.size()));
    std::vector<std::thread> workers;
    for (auto &out : ohm) {
        workers.emplace_back([&, target = out.data()] {
            for (int i = 0; i < 20; i++) {
                calcore_cvd_resistance_array(curve, t_c.data(), t_c.size(), CALCORE_STRICT, target, nullptr);
            }
        });
    }
    for (auto &worker : workers) {
        worker.join();
    }
    for (const auto &out : ohm) {
        check(std::memcmp(out.data(), ohm[0].data(), out.size() * sizeof(double)) == 0, "the same bits in every thread");
    }
}

void run(const char *path)
{
    std::ifstream file(path);
    const std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    calcore_run *raw_run = nullptr;
    must([&](calcore_error *err) { return calcore_run_from_json(text.data(), text.size(), &raw_run, err); });
    const Run run(raw_run);
    calcore_result *raw_result = nullptr;
    must([&](calcore_error *err) { return calcore_run_evaluate(run.get(), &raw_result, err); });
    const Result result(raw_result);
    std::size_t instrument = 0;
    must([&](calcore_error *err) { return calcore_result_find(result.get(), "TIC-4107", &instrument, err); });
    auto summary = sized<calcore_instrument>();
    must([&](calcore_error *err) { return calcore_result_instrument(result.get(), instrument, &summary, err); });
    check(summary.kind == CALCORE_CONTROL_SYSTEM && summary.unit == CALCORE_UNIT_DEGC && summary.points > 0, "instrument");
}

} // namespace

int main(int argc, char **argv)
{
    if (argc != 2) {
        std::fprintf(stderr, "usage: %s RUN\n", argv[0]);
        return 2;
    }
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
    model();
    threads(curve.get());
    run(argv[1]);
    std::printf("%ld passed, %ld failed\n", passed, failed);
    return failed == 0 ? 0 : 1;
}
