package android.app;

import android.content.Context;
import android.content.Intent;
import android.os.Bundle;
import android.view.Window;
import android.view.WindowManager;
import fake.World;

public class Activity extends Context {
    public static final int RESULT_OK = -1;

    private Intent intent;

    /** As the system starts it. */
    public void begin(Intent started) {
        intent = started == null ? new Intent(Intent.ACTION_MAIN) : started;
        onCreate(null);
    }

    /** As the system hands on another intent. */
    public void again(Intent other) {
        onNewIntent(other);
    }

    protected void onCreate(Bundle saved) {}

    protected void onNewIntent(Intent other) {}

    protected void onActivityResult(int number, int result, Intent data) {}

    public void onRequestPermissionsResult(int number, String[] names, int[] answers) {}

    public Intent getIntent() {
        return intent;
    }

    public final void runOnUiThread(Runnable work) {
        work.run();
    }

    public void startActivity(Intent other) {
        World.log("start " + other);
    }

    public void startActivityForResult(Intent question, int number) {
        if (!World.hasFileApp) {
            throw new android.content.ActivityNotFoundException();
        }
        World.log("ask " + question);
        int result = World.chosen == null ? 0 : RESULT_OK;
        onActivityResult(number, result, World.chosen);
        World.chosen = null;
    }

    public final void requestPermissions(String[] names, int number) {
        World.log("permission " + String.join(",", names));
        World.cameraAllowed = World.allows;
        onRequestPermissionsResult(number, names, new int[] {World.allows ? 0 : -1});
    }

    public Window getWindow() {
        return new Window();
    }

    public WindowManager getWindowManager() {
        return new WindowManager() {};
    }

    public void finish() {
        World.log("finish");
    }
}
